import type { Rule } from "../rule.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "error-prone-unit",
  title: "No unit is on the lists of error-prone dose expressions",
  group: "numbers",
  severity: "doubtful",
  why: "These spellings have been misread, with harm to patients.",
  sources: [],
};
