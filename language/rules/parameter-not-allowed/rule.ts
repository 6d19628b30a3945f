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
      source: "common-practice",
      says: "a departure from a standard has a reason and somebody who answers for it; the source of each standard is on its rule's page",
    },
  ],
};
