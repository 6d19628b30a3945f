import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "date-not-real",
  title: "Dates are in the calendar",
  group: "text",
  severity: "error",
  why: "A day that does not come never ends anything.",
  sources: [],
};
