import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "value-out-of-range",
  title: "Values are possible",
  group: "numbers",
  severity: "error",
  why: "A value that cannot be cannot be followed.",
  sources: [
    {
      source: "common-practice",
      says: "values that a person can follow: whole people, one or two cuffs, times in whole seconds",
    },
  ],
};
