import type { Rule } from "../engine/definition.ts";
import { inErrorProneList } from "../sources/shared-citations.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-not-known",
  title: "Units are written in their one accepted way",
  group: "numbers",
  severity: "error",
  why: "A unit that is written in several ways is misread.",
  sources: [
    ...inErrorProneList("mcg and mL as the one spelling of each"),
    {
      source: "lidocaine-label",
      says: '3 mg/kg beside 1.4 mg/lb, 4.5 beside 2, and 7 mg/kg beside "3.5 mg/lb", which is 3.18: one pair is wrong by 10 %, so pounds are not read',
    },
    {
      source: "common-practice",
      says: "one spelling of every other unit: what is written in one way is compared at a glance",
    },
  ],
};
