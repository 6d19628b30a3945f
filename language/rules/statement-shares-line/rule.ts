import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "statement-shares-line",
  title: "Every statement stands on its own line",
  group: "text",
  severity: "doubtful",
  why: "What stands behind another statement on its line is overlooked.",
  sources: [],
};
