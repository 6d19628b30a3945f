import type { Rule } from "../engine/definition.ts";
import { errorProneDoseExpressions } from "../facts/dose-expressions.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "error-prone-unit",
  title: "No unit is on the lists of error-prone dose expressions",
  group: "numbers",
  severity: "doubtful",
  why: "These spellings have been misread, with harm to patients.",
  sources: [
    errorProneDoseExpressions(
      "mcg, not the micro sign; mL, not cc; a space between number and unit; no full stop after a unit",
    ),
    {
      title: "Institute for Safe Medication Practices, error-prone abbreviations",
      seen: "from memory",
      says: "U and IU written out; what each spelling is misread as",
    },
    {
      title: "ISO 26825:2020, user-applied labels for syringes, in an extract",
      address:
        "https://tnlab.org/en/iso-268252020-user-applied-labels-for-anaesthetic-syringes-colour-coding-design-and-performance-requirements/",
      seen: "reported elsewhere",
      says: "its own example prints the micro sign: disagrees",
    },
  ],
};
