import type { Rule } from "../rule.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-mismatch",
  title: "Every quantity is of the kind its place takes",
  group: "numbers",
  severity: "error",
  why: "A volume where a mass is meant cannot be compared with anything.",
  sources: [],
};
