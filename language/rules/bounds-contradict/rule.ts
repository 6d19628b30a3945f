import type { Rule } from "../rule.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "bounds-contradict",
  title: "Bounds leave something between them",
  group: "time",
  severity: "error",
  why: "Between bounds that contradict each other nothing is allowed, so nobody can follow them.",
  sources: [],
};
