import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "name-twice",
  title: "Every name means one thing",
  group: "text",
  severity: "error",
  why: "A name with two meanings leaves the reader to guess.",
  sources: [],
};
