import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "statement-out-of-place",
  title: "Every statement stands where it belongs",
  group: "text",
  severity: "error",
  why: "What stands in the wrong place is not part of the protocol.",
  sources: [],
};
