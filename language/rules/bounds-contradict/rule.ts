import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "bounds-contradict",
  title: "Bounds leave something between them",
  group: "time",
  severity: "error",
  why: "Between bounds that contradict each other nothing is allowed, so nobody can follow them.",
  sources: [
    {
      source: "common-practice",
      says: "a lower bound is not above its upper bound: otherwise nothing lies between them",
    },
  ],
};
