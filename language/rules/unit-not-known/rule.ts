import type { Rule } from "../rule.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-not-known",
  title: "Units are written in their one accepted way",
  group: "numbers",
  severity: "error",
  why: "A unit that is written in several ways is misread.",
  sources: [],
};
