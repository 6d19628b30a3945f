import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-missing",
  title: "Every number carries its unit",
  group: "numbers",
  severity: "error",
  why: "A number without a unit can be a tenfold or thousandfold error.",
  sources: [
    {
      title: "A unit after every number",
      seen: "common practice, no source",
      says: "a dose without a unit is not a dose",
    },
    {
      title:
        "Institute for Safe Medication Practices, error-prone dose designations, in a report of the list",
      address:
        "http://www.pulmonologyadvisor.com/clinical-charts/error-prone-dose-designations/article/661735/",
      seen: "passage read",
      says: "a space between the number and its unit",
    },
  ],
};
