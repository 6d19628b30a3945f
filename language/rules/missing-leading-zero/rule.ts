import type { Rule } from "../engine/definition.ts";
import { errorProneDoseExpressions } from "../facts/dose-expressions.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "missing-leading-zero",
  title: "No number starts with its point",
  group: "numbers",
  severity: "doubtful",
  why: "If the point is overlooked, .5 mg is read as 5 mg.",
  sources: [errorProneDoseExpressions("always a leading zero: 0.5, not .5")],
};
