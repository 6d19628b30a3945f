import type { Rule } from "../engine/definition.ts";
import { errorProneDoseExpressions } from "../facts/dose-expressions.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "trailing-zero",
  title: "No number ends in a needless zero",
  group: "numbers",
  severity: "doubtful",
  why: "If the point is overlooked, 5.0 mg is read as 50 mg.",
  sources: [errorProneDoseExpressions("no trailing zero: 1, not 1.0")],
};
