import { greater, lesser, type Rational } from "./rational.ts";

/** One end of an interval; `closed` when the value itself belongs to it. */
export interface Endpoint {
  readonly value: Rational;
  readonly closed: boolean;
}

/** A set of consecutive numbers, in base units. A missing edge means without limit on that side. */
export interface Interval {
  readonly lower?: Endpoint;
  readonly upper?: Endpoint;
}

export function contains(interval: Interval, value: Rational): boolean {
  const { lower, upper } = interval;
  if (lower) {
    const side = value.compare(lower.value);
    if (side < 0 || (side === 0 && !lower.closed)) return false;
  }
  if (upper) {
    const side = value.compare(upper.value);
    if (side > 0 || (side === 0 && !upper.closed)) return false;
  }
  return true;
}

export function isEmpty({ lower, upper }: Interval): boolean {
  if (!lower || !upper) return false;
  const side = lower.value.compare(upper.value);
  return side > 0 || (side === 0 && !(lower.closed && upper.closed));
}

/** The numbers in both; may be empty, see `isEmpty`. */
export function intersect(a: Interval, b: Interval): Interval {
  const lower = tighterEdge(a.lower, b.lower, greater);
  const upper = tighterEdge(a.upper, b.upper, lesser);
  return { ...(lower && { lower }), ...(upper && { upper }) };
}

function tighterEdge(
  a: Endpoint | undefined,
  b: Endpoint | undefined,
  choose: (a: Rational, b: Rational) => Rational,
): Endpoint | undefined {
  if (!a) return b;
  if (!b) return a;
  if (a.value.equals(b.value)) return { value: a.value, closed: a.closed && b.closed };
  return choose(a.value, b.value) === a.value ? a : b;
}
