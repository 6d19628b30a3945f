import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "text-not-understood",
  title: "Every statement can be understood",
  group: "text",
  severity: "error",
  why: "What cannot be read cannot be judged.",
  sources: [],
};
