import type { Source } from "../engine/source.ts";

/** The list of error-prone dose expressions, as it was read; `says` is the part that a rule judges by. */
export function errorProneDoseExpressions(says: string): Source {
  return {
    title: "Institute for Safe Medication Practices, error-prone dose designations, in a report of the list",
    address:
      "http://www.pulmonologyadvisor.com/clinical-charts/error-prone-dose-designations/article/661735/",
    seen: "passage read",
    says,
  };
}
