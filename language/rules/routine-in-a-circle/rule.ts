import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "routine-in-a-circle",
  title: "Routines do not lead back to themselves",
  group: "text",
  severity: "error",
  why: "Steps that lead back to themselves would never end.",
  sources: [],
};
