import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "version-not-complete",
  title: "A version has three numbers",
  group: "governance",
  severity: "doubtful",
  why: "The three numbers say how much a reader has to look at again.",
  sources: [
    { source: "semantic-versioning", says: "three numbers, raised by how much changes" },
    { source: "common-practice", says: "what counts as looser, different or wording in a protocol" },
  ],
};
