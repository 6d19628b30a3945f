import type { Rule } from "../engine/definition.ts";
import { inErrorProneList } from "../sources/shared-citations.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "missing-leading-zero",
  title: "No number starts with its point",
  group: "numbers",
  severity: "doubtful",
  why: "If the point is overlooked, .5 mg is read as 5 mg.",
  sources: [...inErrorProneList("always a leading zero: 0.5 mg, not .5 mg")],
};
