export { type BandFaults, bandFaults, type Overlap } from "./bands.ts";
export {
  type Broken,
  type Comparison,
  type ComparisonOptions,
  compare,
  type Relation,
  undefinedFor,
  type Witness,
  type Worst,
} from "./compare.ts";
export { evaluate } from "./evaluate.ts";
export {
  type Band,
  type Box,
  type Expression,
  VARIABLES,
  type Variable,
  variablesOf,
} from "./expression.ts";
export { type Extreme, type Extremes, extremes, type Measure } from "./extreme.ts";
export { hull } from "./interval-order.ts";
export type { Limits, NotDecided } from "./limits.ts";
export type { Patient } from "./patient.ts";
export { type Piece, type Pieces, piecesOf } from "./pieces.ts";
export { patientText, rangeText, regionsText, regionText } from "./range-text.ts";
export type { Region } from "./region.ts";
export { type Segment, type Segments, segmentsOf, valueOn } from "./segments.ts";
export { compareShares, type Share, type SharesOver } from "./shares.ts";
