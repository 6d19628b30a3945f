import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "use-in-a-circle",
  title: "Files do not use each other in a circle",
  group: "text",
  severity: "error",
  why: "In a circle nobody can say which file comes first.",
  sources: [],
};
