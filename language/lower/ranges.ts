import {
  type Dimension,
  type Edge,
  type Interval,
  inBase,
  isEmpty,
  sameDimension,
  type Unit,
  unitOf,
} from "@limbwright/shared/quantity";
import type { Measured, Range } from "../grammar/generated/ast.ts";
import type { WrittenQuantity, WrittenRange } from "../model/index.ts";
import { type Lowering, originOf } from "./context.ts";
import { quantityInUnit, quantityOf, reportContradiction, unitAsWritten } from "./quantities.ts";

/** Reads "16 to 85 years", "45 kg to under 50 kg", "under 12 years", "60 kg and over", "over 70 kg". */
export function rangeOf(
  lowering: Lowering,
  range: Range | undefined,
  dimension: Dimension,
  place: string,
): WrittenRange | undefined {
  if (!range) return undefined;
  const shared = unitOfUpper(range, dimension);
  const end = (measured: Measured) =>
    shared && unitAsWritten(measured) === ""
      ? quantityInUnit(lowering, measured, shared)
      : quantityOf(lowering, measured, [dimension], place);
  const lower = range.lower && end(range.lower);
  const upper = range.upper && end(range.upper);
  if ((range.lower && !lower) || (range.upper && !upper)) return undefined;
  const interval = intervalOf(range, lower, upper);
  const origin = originOf(lowering, range);
  if (isEmpty(interval)) {
    reportContradiction(lowering, origin, "The range is empty: its lower end is above its upper end.");
    return undefined;
  }
  return { interval, unit: (upper ?? lower)?.unit.symbol ?? "", origin };
}

/** The unit of the second number, which a first one without a unit takes over. */
function unitOfUpper(range: Range, dimension: Dimension): Unit | undefined {
  const unit = unitOf(unitAsWritten(range.upper));
  return unit && sameDimension(unit.dimension, dimension) ? unit : undefined;
}

function intervalOf(range: Range, lower?: WrittenQuantity, upper?: WrittenQuantity): Interval {
  if (range.andUnder && lower) return { upper: edgeOf(lower, true) };
  return {
    ...(lower && { lower: edgeOf(lower, !range.above) }),
    ...(upper && { upper: edgeOf(upper, !range.below) }),
  };
}

function edgeOf(of: WrittenQuantity, closed: boolean): Edge {
  return { value: inBase(of), closed };
}
