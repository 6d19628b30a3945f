import type { Rule } from "../rule.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "number-badly-written",
  title: "Numbers can be read in one way only",
  group: "numbers",
  severity: "unsafe",
  why: "A comma is a decimal sign to one reader and parts thousands to another.",
  sources: [],
};
