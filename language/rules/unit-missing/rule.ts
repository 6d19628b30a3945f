import type { Rule } from "../engine/definition.ts";
import { inErrorProneList } from "../sources/shared-citations.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-missing",
  title: "Every number carries its unit",
  group: "numbers",
  severity: "error",
  why: "A number without a unit can be a tenfold or thousandfold error.",
  sources: [
    { source: "common-practice", says: "every number carries its unit: a dose without a unit is not a dose" },
    ...inErrorProneList("a space between the number and its unit"),
  ],
};
