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

/** The same quantity in another unit of its dimension; throws when the dimensions differ. */
export function convert(of: Quantity, to: Unit): Quantity {
  if (!sameDimension(of.unit.dimension, to.dimension)) {
    throw new Error(`${of.unit.symbol} cannot be read as ${to.symbol}`);
  }
  return { value: inBase(of).div(to.perBase), unit: to };
}

/** A base-unit value written in `symbol`. */
export function fromBase(value: Rational, symbol: string): Quantity {
  const unit = requireUnit(symbol);
  return { value: value.div(unit.perBase), unit };
}

/**
 * The quantity for a reader, as the published lists of safe dose expressions ask: a space before the
 * unit, a leading and no trailing zero, a comma in thousands. At most `places` decimals.
 */
export function quantityText(of: Quantity, places = 2): string {
  const { text } = decimalText(of.value, places);
  const [whole = "0", fraction] = text.split(".");
  const grouped = thousands(whole);
  return `${fraction ? `${grouped}.${fraction}` : grouped} ${of.unit.symbol}`;
}

/** A whole number with a comma in thousands. The language's own way would load the data of every country first. */
export function thousands(whole: number | string): string {
  return String(whole).replace(/\B(?=(\d{3})+$)/g, ",");
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
