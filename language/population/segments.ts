import { type Interval, type Rational, ZERO } from "@limbwright/shared/quantity";
import { type Cell, rangeOf } from "./cell.ts";
import type { Box, Expression, Patient, Variable } from "./expression.ts";
import { byLowerEdge, hull, meets } from "./interval-order.ts";
import { decide, type Limits, type NotDecided } from "./limits.ts";
import { type Linear, slopesOf } from "./linear.ts";
import { domain, expand } from "./pieces.ts";

/**
 * A stretch of a curve: value = constant + slope × variable, over a range of the variable. Edges tell to
 * which of two neighbours a breakpoint belongs; between segments that do not meet there is no value.
 */
export interface Segment {
  readonly range: Interval;
  readonly constant: Rational;
  readonly slope: Rational;
}

/** A value as a function of one variable, from the lowest range up. */
export interface Segments {
  readonly kind: "segments";
  readonly segments: readonly Segment[];
}

/**
 * Cuts an expression into straight segments along one variable, the others fixed in `others`. Neighbours
 * on one straight line are one segment. Throws a RangeError when a variable is neither.
 */
export function segmentsOf(
  expression: Expression,
  variable: Variable,
  range: Interval,
  others: Patient = {},
  limits: Limits = {},
): Segments | NotDecided {
  return decide(limits, (work) => {
    const cell = domain(fixOthers(others, variable, range), [
      variable,
      ...(Object.keys(others) as Variable[]),
    ]);
    const segments = expand(expression, cell, { work, without: [] })
      .map((piece) => segment(piece.cell, piece.value, variable, others))
      .sort((a, b) => byLowerEdge(a.range, b.range));
    return { kind: "segments", segments: joinSegments(segments) };
  });
}

/** The value on a segment's line; at an open edge this is the limit. */
export function valueOn(segment: Segment, at: Rational): Rational {
  return segment.constant.add(segment.slope.mul(at));
}

function fixOthers(others: Patient, variable: Variable, range: Interval): Box {
  const box: Partial<Record<Variable, Interval>> = {};
  for (const [other, value] of Object.entries(others) as [Variable, Rational][]) {
    const edge = { value, closed: true };
    box[other] = { lower: edge, upper: edge };
  }
  return { ...box, [variable]: range };
}

function segment(cell: Cell, value: Linear, variable: Variable, others: Patient): Segment {
  let constant = value.constant;
  let slope = ZERO;
  for (const [axis, factor] of slopesOf(value)) {
    if (axis === variable) slope = factor;
    else constant = constant.add(factor.mul(requireFixed(others, axis)));
  }
  return { range: rangeOf(cell, variable), constant, slope };
}

function requireFixed(others: Patient, variable: Variable): Rational {
  const value = others[variable];
  if (!value) throw new RangeError(`a curve needs a fixed ${variable}`);
  return value;
}

function joinSegments(segments: readonly Segment[]): Segment[] {
  const result: Segment[] = [];
  for (const next of segments) {
    const last = result.at(-1);
    const straight = last?.constant.equals(next.constant) && last.slope.equals(next.slope);
    if (last && straight && meets(last.range, next.range)) {
      result[result.length - 1] = { ...last, range: hull(last.range, next.range) };
    } else result.push(next);
  }
  return result;
}
