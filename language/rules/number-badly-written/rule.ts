import type { Rule } from "../engine/definition.ts";
import { inErrorProneList } from "../sources/shared-citations.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "number-badly-written",
  title: "Numbers can be read in one way only",
  group: "numbers",
  severity: "unsafe",
  why: "A comma is a decimal sign to one reader and parts thousands to another.",
  sources: [
    ...inErrorProneList("thousands with commas, from 1,000 on, for print"),
    {
      source: "common-practice",
      says: "in the text one point and no other mark inside a number: a comma is a decimal sign in much of the world; printed sheets part thousands with commas",
    },
    {
      source: "error-prone-list-again",
      says: "thousands parted by a space, 10 000 (SI, Canada)",
      disagrees: true,
    },
  ],
};
