import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "version-not-complete",
  title: "A version has three numbers",
  group: "governance",
  severity: "doubtful",
  why: "The three numbers say how much a reader has to look at again.",
  sources: [
    {
      title: "Semantic Versioning 2.0.0",
      address: "https://semver.org",
      seen: "from memory",
      says: "three numbers, raised by how much changes",
    },
  ],
};
