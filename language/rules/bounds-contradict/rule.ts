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
      title: "A lower bound is not above its upper bound",
      seen: "common practice, no source",
      says: "otherwise nothing lies between them",
    },
  ],
};
