import { type Interval, type Rational, requireUnit } from "@limbwright/shared/quantity";
import type { AmountRow } from "@limbwright/shared/rule-file";
import {
  type Box,
  type Expression,
  piecesOf,
  VARIABLE_UNITS,
  VARIABLES,
  type Variable,
} from "../population/index.ts";
import { byLowerEdge } from "../population/interval-order.ts";
import { rangeInUnit } from "./values.ts";

/** The patients of a row of a look-up table. */
type RowRanges = Pick<AmountRow, Variable>;

export interface LookupRow {
  readonly ranges: RowRanges;
  /** What the formula gives to the whole row, or the least that it gives in it; in base units. */
  readonly value: Rational;
  readonly exact: boolean;
}

/** More rows than a table is of use for: 1,000 weights in 50 bands of other measures. */
const MOST_ROWS = 50_000;

/**
 * A function of the patient as rows to look up, from the lowest patients up. Each patient of the box lies in
 * one row, or in none where the function has no value. Undefined where that cannot be: patients without
 * limits, or too many rows.
 */
export function lookupRows(expression: Expression, box: Box): LookupRow[] | undefined {
  const answer = piecesOf(expression, box);
  if (answer.kind === "not-decided") return undefined;
  const rows: { readonly box: Box; readonly value: Rational; readonly exact: boolean }[] = [];
  for (const { cell, value } of answer.pieces) {
    const { weight: slope, ...others } = value.slopes;
    if (cell.slanted.length > 0 || Object.keys(others).length > 0) return undefined;
    if (!slope) {
      rows.push({ box: cell.box, value: value.constant, exact: true });
      continue;
    }
    const ranges = perKilogram(cell.box.weight);
    if (!ranges || rows.length + ranges.length > MOST_ROWS) return undefined;
    for (const range of ranges) {
      const edge = slope.compare(0) > 0 ? range.lower : range.upper;
      const least = value.constant.add(slope.mul(edge.value));
      rows.push({ box: { ...cell.box, weight: range }, value: least, exact: false });
    }
  }
  return rows
    .sort((a, b) => byRanges(a.box, b.box))
    .map(({ box: ranges, value, exact }) => ({ ranges: rangesOf(ranges), value, exact }));
}

type Bounded = Required<Interval>;

/** Cuts a range of weights at every whole kilogram; undefined when it is without limits or very wide. */
function perKilogram(weights: Interval | undefined): Bounded[] | undefined {
  if (!weights?.lower || !weights.upper) return undefined;
  const first = weights.lower.value.floor();
  const last = weights.upper.value.ceil();
  if (last.sub(first).compare(MOST_ROWS) > 0) return undefined;
  const rows: Bounded[] = [];
  for (let kg = first; kg.compare(last) <= 0; kg = kg.add(1)) {
    const lower = kg.compare(weights.lower.value) > 0 ? { value: kg, closed: true } : weights.lower;
    const next = kg.add(1);
    const upper = next.compare(weights.upper.value) <= 0 ? { value: next, closed: false } : weights.upper;
    const side = lower.value.compare(upper.value);
    if (side < 0 || (side === 0 && lower.closed && upper.closed)) rows.push({ lower, upper });
  }
  return rows;
}

function rangesOf(box: Box): RowRanges {
  return Object.fromEntries(
    VARIABLES.flatMap((variable) => {
      const range = box[variable];
      return range ? [[variable, rangeInUnit(range, requireUnit(VARIABLE_UNITS[variable]))]] : [];
    }),
  );
}

const ORDER: readonly Variable[] = ["age", "systolic", "circumference", "weight"];

function byRanges(a: Box, b: Box): number {
  for (const variable of ORDER) {
    const side = byLowerEdge(a[variable] ?? {}, b[variable] ?? {});
    if (side !== 0) return side;
  }
  return 0;
}
