import { type Dimension, MASS, sameDimension, VOLUME } from "./dimension.ts";
import { decimalText, type Rational, rational } from "./rational.ts";
import { requireUnit, type Unit } from "./unit.ts";

/** A number with its unit, as written. `value` counts `unit`s, not base units. */
export interface Quantity {
  readonly value: Rational;
  readonly unit: Unit;
}

export function quantity(value: Rational, symbol: string): Quantity {
  return { value, unit: requireUnit(symbol) };
}

/** The value in base units: mg, mL, s, cm, mmHg, kg, years, and their quotients. */
export function inBase(of: Quantity): Rational {
  return of.value.mul(of.unit.perBase);
}

/** A base-unit value written in `symbol`. */
export function fromBase(value: Rational, symbol: string): Quantity {
  const unit = requireUnit(symbol);
  return { value: value.div(unit.perBase), unit };
}

/**
 * A quantity as the language writes it: a space before the unit, a leading and no trailing zero, nothing rounded, and nothing
 * between thousands, so that what is advised can be typed as it stands. On paper thousands are set apart (`quantitiesOnPaper`).
 */
export function quantityText({ value, unit }: Quantity): string {
  return `${decimalText(value, EXACT).text} ${unit.symbol}`;
}

/** More decimals than anybody writes. */
const EXACT = 12;

/**
 * The same of what was worked out: two decimals; three where they write something less than one exactly (0.125 mg); and of what is
 * less than a tenth three figures, for it is never told as nothing.
 */
export function roundedText({ value, unit }: Quantity): string {
  return `${roundedNumber(value)} ${unit.symbol}`;
}

/** The same without its unit. */
export function roundedNumber(value: Rational): string {
  return decimalText(value, placesOf(value)).text;
}

const PLACES = 2;
const FIGURES = 3;

function placesOf(value: Rational): number {
  const size = value.abs();
  if (size.compare(0) === 0 || size.compare(1) >= 0) return PLACES;
  if (!decimalText(size, FIGURES).rounded) return FIGURES;
  let places = PLACES;
  if (size.mul(10).compare(1) < 0) {
    while (places < EXACT && size.mul(10 ** (places - FIGURES + 1)).compare(1) < 0) places += 1;
  }
  return places;
}

/** Whole seconds for a reader: "90 s", "5 min", "1 h 30 min". */
export function durationText(seconds: Rational): string {
  const total = Number(seconds.valueOf());
  if (total < 120 && total % 60 !== 0) return `${decimalText(seconds).text} s`;
  const hours = Math.floor(total / 3600);
  const minutes = Math.floor((total % 3600) / 60);
  const rest = total % 60;
  const parts = [hours && `${hours} h`, minutes && `${minutes} min`, rest && `${rest} s`];
  return parts.filter(Boolean).join(" ") || "0 s";
}

/** The same for a time that is a plain number of seconds. */
export function secondsText(seconds: number): string {
  return durationText(rational(`${seconds}`));
}

/** A time as a clock shows it: "5:00", "1:05:30"; parts of a second only where there are some. */
export function clockText(seconds: number): string {
  const whole = Math.floor(seconds);
  const rest = seconds - whole;
  const two = (value: number) => String(value).padStart(2, "0");
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  const tail = `${two(whole % 60)}${rest > 0 ? rest.toFixed(3).slice(1) : ""}`;
  return hours > 0 ? `${hours}:${two(minutes)}:${tail}` : `${minutes}:${tail}`;
}

export function isA(of: Quantity, dimension: Dimension): boolean {
  return sameDimension(of.unit.dimension, dimension);
}

/** What a mass is multiplied by to be the volume that holds it, or the other way round, also as rates; undefined for anything else. */
export function massAndVolumeFactor(
  of: Dimension,
  wanted: Dimension,
  perMillilitre: Rational,
): Rational | undefined {
  if (perMillilitre.compare(0) <= 0) return undefined;
  const time = of.time ? { time: of.time } : {};
  const [mass, volume] = [MASS, VOLUME].map((dimension) => ({ ...dimension, ...time })) as [
    Dimension,
    Dimension,
  ];
  if (sameDimension(of, mass) && sameDimension(wanted, volume)) return perMillilitre.inverse();
  return sameDimension(of, volume) && sameDimension(wanted, mass) ? perMillilitre : undefined;
}
