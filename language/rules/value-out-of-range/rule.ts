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
      title: "Values that a person can follow",
      seen: "common practice, no source",
      says: "whole people, one or two cuffs, whole seconds",
    },
  ],
};
