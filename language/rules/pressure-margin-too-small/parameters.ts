import type { Parameter } from "../engine/parameter.ts";
import type { SourceId } from "../sources/sources.ts";

function margin(name: string, over: string, standard: string, bound: string, source: SourceId): Parameter {
  const title = `Smallest margin over ${over}`;
  return { name, title, unit: "mmHg", standard, tighter: "higher", bound, source };
}

/** The bounds are the smallest margins published for the same case. */
export const parameters: readonly Parameter[] = [
  margin("margin", "the systolic pressure", "100", "50", "emergency-handbook"),
  margin("margin-over-low-occlusion", "an occlusion pressure under 130 mmHg", "40", "40", "aorn-taught"),
  margin(
    "margin-over-middle-occlusion",
    "an occlusion pressure of 130 to 190 mmHg",
    "60",
    "50",
    "aorn-taught",
  ),
  margin("margin-over-high-occlusion", "an occlusion pressure over 190 mmHg", "80", "50", "aorn-taught"),
  margin("margin-over-occlusion-child", "the occlusion pressure of a child", "50", "50", "aorn-taught"),
];
