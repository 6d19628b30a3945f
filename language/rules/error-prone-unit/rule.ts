import type { Rule } from "../engine/definition.ts";
import { inErrorProneList } from "../sources/shared-citations.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "error-prone-unit",
  title: "No unit is on the lists of error-prone dose expressions",
  group: "numbers",
  severity: "doubtful",
  why: "These spellings have been misread, with harm to patients.",
  sources: [
    ...inErrorProneList(
      "mcg, not the micro sign; mL, not cc; a space between number and unit; no full stop after a unit",
    ),
    { source: "error-prone-remembered", says: "U and IU written out; what each spelling is misread as" },
    { source: "ucum", says: "programs code the unit as ug: mcg and the micro sign are no codes of it" },
    {
      source: "iso-26825",
      says: "its own example prints labels of syringes with the micro sign",
      disagrees: true,
    },
  ],
};
