import { fromBase, roundedText } from "./quantity.ts";
import { exactText, type Rational, rational } from "./rational.ts";

/** The units that a mass is written and told in. */
export const MASS_UNITS = ["mg", "mcg", "g"] as const;
export type MassUnit = (typeof MASS_UNITS)[number];

/** "mcg" of "mcg" and "mcg/kg"; undefined for what is no mass. */
export function massUnitIn(symbol: string): MassUnit | undefined {
  return MASS_UNITS.find((unit) => symbol === unit || symbol.startsWith(`${unit}/`));
}

/**
 * A mass in mg, or one for each hour or kilogram, told in a unit; `text` writes a number. Grams have as many places as the milligrams in
 * them: 185 mg are 0.185 g, and with two decimals they would be 5 mg less.
 */
export function massText(mass: Rational, unit: MassUnit, text: (value: Rational) => string): string {
  return unit === "g" ? exactText(rational(text(mass)).div(1000)) : text(fromBase(mass, unit).value);
}

/**
 * What was worked out, in base units, in the unit that it is told in: a mass in the one it is written in (75 mcg, never 0.08 mg), a rate
 * by the hour in whichever.
 */
export function amountText(value: Rational, symbol: string): string {
  const [unit = "", per] = symbol.split("/");
  return per === "h"
    ? `${roundedText(fromBase(value.mul(HOUR), unit))}/h`
    : roundedText(fromBase(value, symbol));
}

const HOUR = 3600;
