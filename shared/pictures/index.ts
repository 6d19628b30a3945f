export {
  type CurveGap,
  type CurvePoint,
  type CurveStretch,
  type DoseComparison,
  type DoseCurve,
  type DosePair,
  type DosesApart,
  doseComparison,
  doseCurve,
} from "./doses.ts";
export { leadingTo } from "./drawing.ts";
export {
  type ClockMark,
  type RunClock,
  type RunPicture,
  type RunSpan,
  type RunStrip,
  runPicture,
} from "./run-picture.ts";
