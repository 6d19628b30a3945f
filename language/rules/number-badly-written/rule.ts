import type { Rule } from "../engine/definition.ts";
import { errorProneDoseExpressions } from "../facts/dose-expressions.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "number-badly-written",
  title: "Numbers can be read in one way only",
  group: "numbers",
  severity: "unsafe",
  why: "A comma is a decimal sign to one reader and parts thousands to another.",
  sources: [
    errorProneDoseExpressions("commas from 1,000 on, for print"),
    {
      title: "Drug calculations, digital practices",
      address: "http://www.studywithclpna.com/drugcalculations/digital/practices.htm",
      seen: "passage read",
      says: "thousands parted by a space, 10 000: disagrees with the comma",
    },
    {
      title: "One point and no other mark inside a number",
      seen: "common practice, no source",
      says: "a comma is a decimal sign in much of the world",
    },
  ],
};
