export { bandFaults, type Overlap } from "./bands.ts";
export {
  type Broken,
  type Comparison,
  type ComparisonOptions,
  compare,
  type Relation,
  type Witness,
} from "./compare.ts";
export { evaluate } from "./evaluate.ts";
export {
  type Band,
  type Box,
  type Expression,
  type Patient,
  partsOf,
  VARIABLES,
  type Variable,
  variablesOf,
  withoutRounding,
} from "./expression.ts";
export { type Extreme, findExtremes, type Measure } from "./extreme.ts";
export { hull } from "./interval-order.ts";
export { piecesOf } from "./pieces.ts";
export { patientText, rangeText, regionsText, regionText, VARIABLE_UNITS } from "./range-text.ts";
export type { Region } from "./region.ts";
export { type Segments, segmentsOf, valueOn } from "./segments.ts";
export { compareShares, type Share, type SharesOver } from "./shares.ts";
