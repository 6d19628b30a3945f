import type { Rule } from "../engine/definition.ts";
import { errorProneDoseExpressions } from "../facts/dose-expressions.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-not-known",
  title: "Units are written in their one accepted way",
  group: "numbers",
  severity: "error",
  why: "A unit that is written in several ways is misread.",
  sources: [
    errorProneDoseExpressions("mcg and mL as the one spelling of each"),
    {
      title: "US product label, lidocaine hydrochloride injection",
      address: "https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5",
      seen: "passage read",
      says: "mg/kg and mg/lb side by side, one pair of them wrong by 10 %: pounds are not read",
    },
    {
      title: "One spelling of every other unit",
      seen: "common practice, no source",
      says: "what is written in one way is compared at a glance",
    },
  ],
};
