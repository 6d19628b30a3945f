import { type Interval, intersect, isEmpty, type Rational, ratio } from "@limbwright/shared/quantity";
import { sameInterval } from "./interval-order.ts";
import { isNegative, isZero } from "./linear.ts";

/** square × x² + slope × x + constant, exactly. */
export interface Quadratic {
  readonly square: Rational;
  readonly slope: Rational;
  readonly constant: Rational;
}

/** The value of a quadratic. */
export function quadraticAt({ square, slope, constant }: Quadratic, at: Rational): Rational {
  return square.mul(at).add(slope).mul(at).add(constant);
}

/** Numbers where a quadratic is over zero. */
export interface Positive {
  /** Holds all of them. An edge that no fraction can name is rounded outwards, by less than a millionth. */
  readonly outer: Interval;
  /** Holds only such numbers, and at least one. */
  readonly inner: Interval;
  /** The two are the same. */
  readonly exact: boolean;
}

/** The parts of a range where the quadratic is over zero. Whether there are any is decided exactly. */
export function positiveParts(form: Quadratic, range: Interval): Positive[] {
  for (let precision = 6; ; precision *= 2) {
    const parts = positiveSides(form, precision).map(({ outer, inner }) => ({
      outer: intersect(outer, range),
      inner: intersect(inner, range),
    }));
    const reached = parts.filter(({ outer }) => !isEmpty(outer));
    // A root that is no fraction is no edge of the range either: a finer look tells on which side it lies.
    if (reached.some(({ inner }) => isEmpty(inner))) continue;
    return reached.map((part) => ({ ...part, exact: sameInterval(part.outer, part.inner) }));
  }
}

type Side = Pick<Positive, "outer" | "inner">;

/** Where the quadratic is over zero, among all numbers. */
function positiveSides(form: Quadratic, precision: number): Side[] {
  const { square, slope, constant } = form;
  if (isZero(square)) return linearSides(slope, constant);
  const discriminant = slope.mul(slope).sub(square.mul(constant).mul(4));
  const opensUp = !isNegative(square);
  if (isNegative(discriminant)) return opensUp ? [exactly({})] : [];
  const root = squareRoot(discriminant, precision);
  const width = square.abs().mul(2);
  const middle = slope.neg().div(square.mul(2));
  const [far, near] = [root.above.div(width), root.below.div(width)];
  const low = { below: middle.sub(far), above: middle.sub(near) };
  const high = { below: middle.add(near), above: middle.add(far) };
  if (opensUp) {
    return [
      { outer: under(low.above), inner: under(low.below) },
      { outer: over(high.below), inner: over(high.above) },
    ];
  }
  return [{ outer: between(low.below, high.above), inner: between(low.above, high.below) }];
}

function linearSides(slope: Rational, constant: Rational): Side[] {
  if (isZero(slope)) return isZero(constant) || isNegative(constant) ? [] : [exactly({})];
  const root = constant.neg().div(slope);
  return [exactly(isNegative(slope) ? under(root) : over(root))];
}

/** The square root between two fractions, which are the same where it is one. */
function squareRoot(value: Rational, digits: number): { readonly below: Rational; readonly above: Rational } {
  const product = value.n * value.d;
  const whole = integerRoot(product);
  if (whole * whole === product) {
    const exact = ratio(whole, value.d);
    return { below: exact, above: exact };
  }
  const scale = 10n ** BigInt(digits);
  const scaled = integerRoot(product * scale * scale);
  const step = value.d * scale;
  return { below: ratio(scaled, step), above: ratio(scaled + 1n, step) };
}

/** The greatest whole number whose square is not above the value, by Newton's method. */
function integerRoot(value: bigint): bigint {
  if (value < 2n) return value;
  let guess = 1n << BigInt(Math.ceil(value.toString(2).length / 2));
  for (;;) {
    const next = (guess + value / guess) / 2n;
    if (next >= guess) return guess;
    guess = next;
  }
}

function exactly(interval: Interval): Side {
  return { outer: interval, inner: interval };
}

function under(value: Rational): Interval {
  return { upper: { value, closed: false } };
}

function over(value: Rational): Interval {
  return { lower: { value, closed: false } };
}

function between(low: Rational, high: Rational): Interval {
  return { ...over(low), ...under(high) };
}
