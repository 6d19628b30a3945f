import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "use-not-found",
  title: "Every file that is used is there",
  group: "text",
  severity: "error",
  why: "Without the file its drugs and rules are missing.",
  sources: [],
};
