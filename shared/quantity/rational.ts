import Fraction from "fraction.js";

/** An exact rational number. Every number of a protocol is one; 0.1 + 0.2 is 0.3. */
export type Rational = Fraction;

/**
 * Reads a decimal fraction ("0.5"), a whole number, or a fraction in text ("20/3") exactly.
 * A number that is not whole is refused: it has already lost its exact value.
 */
export function rational(value: string | bigint | number): Rational {
  if (typeof value === "number" && !Number.isSafeInteger(value)) {
    throw new RangeError(`${value} is not a whole number; give its decimal text instead`);
  }
  return new Fraction(value);
}

/** numerator / denominator, exactly. */
export function ratio(numerator: bigint | number, denominator: bigint | number): Rational {
  return rational(numerator).div(rational(denominator));
}

export const ZERO: Rational = new Fraction(0);
export const ONE: Rational = new Fraction(1);

export function lesser(a: Rational, b: Rational): Rational {
  return a.compare(b) <= 0 ? a : b;
}

export function greater(a: Rational, b: Rational): Rational {
  return a.compare(b) >= 0 ? a : b;
}

/** The largest multiple of `step` (over zero) that is not above `value`. */
export function floorTo(value: Rational, step: Rational): Rational {
  return value.div(step).floor().mul(step);
}

/** Whether the value has a finite decimal expansion, so that a decimal text can be exact. */
export function isDecimal(value: Rational): boolean {
  return decimalPlaces(value) !== undefined;
}

/** The exact text of a value: "0.5" where a decimal can be exact, else a fraction such as "20/3". */
export function exactText(value: Rational): string {
  const places = decimalPlaces(value);
  if (places === undefined) return value.toFraction();
  const digits = ((value.n * 10n ** BigInt(places)) / value.d).toString().padStart(places + 1, "0");
  const whole = digits.slice(0, digits.length - places);
  const sign = value.s < 0n ? "-" : "";
  return places === 0 ? `${sign}${whole}` : `${sign}${whole}.${digits.slice(-places)}`;
}

/** How many decimals write the value exactly; undefined where no number of them does. */
function decimalPlaces({ d }: Rational): number | undefined {
  let rest = d;
  let twos = 0;
  let fives = 0;
  for (; rest % 2n === 0n; rest /= 2n) twos += 1;
  for (; rest % 5n === 0n; rest /= 5n) fives += 1;
  return rest === 1n ? Math.max(twos, fives) : undefined;
}

/**
 * The value in decimals for a reader, with at most `places` after the point, no trailing zero and
 * always a leading one. Rounded half away from zero; `rounded` tells whether anything was lost.
 */
export function decimalText(value: Rational, places = 2): { text: string; rounded: boolean } {
  const nearest = value.round(places);
  return { text: nearest.toString(), rounded: !nearest.equals(value) };
}
