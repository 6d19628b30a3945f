import { type Endpoint, type Interval, ratio } from "@limbwright/shared/quantity";
import { LimitReached } from "./limits.ts";

/**
 * Fourier–Motzkin elimination over the rationals, with strictness, on rows of whole numbers: exact, and
 * quick enough for the four variables of a patient and one value.
 */
export interface Row {
  /** One whole number per axis; the row says: coefficients · x + constant ≥ 0, or > 0 when strict. */
  readonly coefficients: readonly bigint[];
  readonly constant: bigint;
  readonly strict: boolean;
}

const MOST_ROWS = 4_000;

/** Whether any point satisfies every row. */
export function isFeasible(rows: readonly Row[]): boolean {
  return eliminateAllBut(rows, undefined) !== undefined;
}

/** The values one axis takes over all points that satisfy every row; there must be such points. */
export function project(rows: readonly Row[], axis: number): Interval {
  const left = eliminateAllBut(rows, axis);
  if (!left) throw new Error("no point satisfies the rows whose projection is asked for");
  let range: Interval = {};
  for (const { coefficients, constant, strict } of left) {
    const coefficient = coefficients[axis] ?? 0n;
    const edge: Endpoint = { value: ratio(-constant, coefficient), closed: !strict };
    range = coefficient > 0n ? { ...range, lower: edge } : { ...range, upper: edge };
  }
  return range;
}

/** What is left on the axis: at most one row below and one above. Undefined when the others contradict. */
function eliminateAllBut(rows: readonly Row[], kept: number | undefined): readonly Row[] | undefined {
  let current = keepTightest(rows);
  const open = new Set(rows[0]?.coefficients.keys() ?? []);
  if (kept !== undefined) open.delete(kept);
  while (current && open.size > 0) {
    const axis = cheapestAxis(current, open);
    open.delete(axis);
    current = keepTightest(eliminate(current, axis));
  }
  return current;
}

/** The axis whose elimination leaves the fewest rows. */
function cheapestAxis(rows: readonly Row[], open: ReadonlySet<number>): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (const axis of open) {
    let below = 0;
    let above = 0;
    for (const { coefficients } of rows) {
      const coefficient = coefficients[axis] ?? 0n;
      if (coefficient > 0n) below += 1;
      else if (coefficient < 0n) above += 1;
    }
    if (below * above - below - above < least) {
      least = below * above - below - above;
      best = axis;
    }
  }
  return best;
}

/** Every row without the axis, and the sum of every pair that bounds it from both sides. */
function eliminate(rows: readonly Row[], axis: number): Row[] {
  const below: Row[] = [];
  const above: Row[] = [];
  const result: Row[] = [];
  for (const row of rows) {
    const coefficient = row.coefficients[axis] ?? 0n;
    (coefficient > 0n ? below : coefficient < 0n ? above : result).push(row);
  }
  if (below.length * above.length + result.length > MOST_ROWS) {
    throw new LimitReached("too many conditions hold at once for these patients");
  }
  for (const low of below) for (const high of above) result.push(sumRows(low, high, axis));
  return result;
}

function sumRows(low: Row, high: Row, axis: number): Row {
  const a = -(high.coefficients[axis] ?? 0n);
  const b = low.coefficients[axis] ?? 0n;
  return {
    coefficients: low.coefficients.map((own, at) => own * a + (high.coefficients[at] ?? 0n) * b),
    constant: low.constant * a + high.constant * b,
    strict: low.strict || high.strict,
  };
}

/** Drops rows that say nothing, and of parallel rows all but the tightest; undefined on a contradiction. */
function keepTightest(rows: readonly Row[]): Row[] | undefined {
  const kept = new Map<string, Row>();
  for (const row of rows) {
    const divisor = row.coefficients.reduce(commonDivisor, 0n);
    if (divisor === 0n) {
      if (row.constant < 0n || (row.constant === 0n && row.strict)) return undefined;
      continue;
    }
    const key = row.coefficients.map((coefficient) => coefficient / divisor).join();
    const other = kept.get(key);
    if (!other || isTighter(row, other)) kept.set(key, reduceRow(row, divisor));
  }
  return [...kept.values()];
}

/** Of two parallel rows; which one is scaled how is settled by any coefficient that is not zero. */
function isTighter(row: Row, other: Row): boolean {
  const at = row.coefficients.findIndex((coefficient) => coefficient !== 0n);
  const scale = magnitude(row.coefficients[at] ?? 0n);
  const otherScale = magnitude(other.coefficients[at] ?? 0n);
  const difference = row.constant * otherScale - other.constant * scale;
  return difference < 0n || (difference === 0n && row.strict && !other.strict);
}

function reduceRow(row: Row, coefficientDivisor: bigint): Row {
  const divisor = commonDivisor(coefficientDivisor, row.constant);
  if (divisor === 1n) return row;
  return {
    coefficients: row.coefficients.map((coefficient) => coefficient / divisor),
    constant: row.constant / divisor,
    strict: row.strict,
  };
}

function magnitude(number: bigint): bigint {
  return number < 0n ? -number : number;
}

/** The greatest common divisor, never below zero; 0 and 0 give 0. */
export function commonDivisor(a: bigint, b: bigint): bigint {
  let x = magnitude(a);
  let y = magnitude(b);
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
}
