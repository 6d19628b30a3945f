import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "word-not-known",
  title: "Words from a list are on that list",
  group: "text",
  severity: "error",
  why: "Only words with a known meaning can be judged.",
  sources: [],
};
