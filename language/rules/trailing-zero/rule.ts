import type { Rule } from "../engine/definition.ts";
import { inErrorProneList } from "../sources/shared-citations.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "trailing-zero",
  title: "No number ends in a needless zero",
  group: "numbers",
  severity: "doubtful",
  why: "If the point is overlooked, 5.0 mg is read as 50 mg.",
  sources: [...inErrorProneList("no trailing zero: 1 mg, not 1.0 mg")],
};
