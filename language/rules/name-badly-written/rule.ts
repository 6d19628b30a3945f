import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "name-badly-written",
  title: "Names are in lower case with hyphens",
  group: "text",
  severity: "doubtful",
  why: "One way of writing names keeps two of them from looking alike.",
  sources: [],
};
