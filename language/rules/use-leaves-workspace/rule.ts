import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "use-leaves-workspace",
  title: "Used files lie in the workspace",
  group: "text",
  severity: "error",
  why: "A protocol has to be whole in the folder that is reviewed and kept.",
  sources: [],
};
