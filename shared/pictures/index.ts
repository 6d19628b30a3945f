export {
  type DoseComparison,
  type DosePair,
  type DosesApart,
  doseComparison,
} from "./dose-comparison.ts";
export {
  type CurveGap,
  type CurvePoint,
  type CurveStretch,
  type DoseCurve,
  doseCurve,
} from "./dose-curve.ts";
export type { PicturePlace } from "./drawing.ts";
export {
  type ClockMark,
  type RunClock,
  type RunPicture,
  type RunSpan,
  type RunStrip,
  runPicture,
} from "./run-picture.ts";
