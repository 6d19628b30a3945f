import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "statement-twice",
  title: "Nothing is said twice",
  group: "text",
  severity: "error",
  why: "A reader could follow the one that is not meant.",
  sources: [],
};
