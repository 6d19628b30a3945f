import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "parameter-not-allowed",
  title: "Local rules stay within their bounds",
  group: "governance",
  severity: "error",
  why: "A looser value needs a reason and somebody who decided it, and some limits are not a hospital's to move.",
  sources: [
    {
      title: "A departure from a standard has a reason and somebody who answers for it",
      seen: "common practice, no source",
      says: "the sources of each standard are on the page of its rule",
    },
  ],
};
