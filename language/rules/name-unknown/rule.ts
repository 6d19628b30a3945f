import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "name-unknown",
  title: "Every name is declared",
  group: "text",
  severity: "error",
  why: "A name that nobody declared stands for nothing.",
  sources: [],
};
