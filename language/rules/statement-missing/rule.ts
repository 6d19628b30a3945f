import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "statement-missing",
  title: "Nothing that is needed is missing",
  group: "text",
  severity: "error",
  why: "What is not written cannot be judged, and cannot be followed.",
  sources: [],
};
