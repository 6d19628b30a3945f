import {
  AGE,
  agesText,
  completedAgeText,
  decimalText,
  type Endpoint,
  exactText,
  type Interval,
  type Rational,
  requireUnit,
  sameDimension,
  type Unit,
} from "@limbwright/shared/quantity";
import { type Patient, VARIABLES, type Variable } from "./expression.ts";
import type { Region } from "./region.ts";

/** Decimals shown at first, and at most when the two edges of a range would otherwise look alike. */
const USUAL_PLACES = 2;
const MOST_PLACES = 6;

/** How many ranges a sentence names before it only counts the rest. */
const USUAL_REGIONS = 4;

/**
 * A range for a reader: "45 kg to under 50 kg", "45 to 130 kg", "60 kg and over", "over 49 kg to under
 * 50 kg", "exactly 70 kg", "11 years and under". The interval is in base units, the text in the unit of the
 * symbol. A number that had to be rounded is marked "about".
 */
export function rangeText(range: Interval, symbol: string): string {
  const unit = requireUnit(symbol);
  const ages = sameDimension(unit.dimension, AGE) ? agesText(range) : undefined;
  return ages ?? numbersText(range, unit);
}

function numbersText(range: Interval, unit: Unit): string {
  const { upper } = range;
  const lower = isNaturalLimit(range.lower) ? undefined : range.lower;
  if (!lower && !upper) return "without limits";
  if (!lower) return `${upper?.closed ? "up to" : "under"} ${amount(upper?.value, unit)}`;
  if (!upper)
    return lower.closed ? `${amount(lower.value, unit)} and over` : `over ${amount(lower.value, unit)}`;
  if (lower.value.equals(upper.value)) return `exactly ${amount(lower.value, unit)}`;
  const places = placesToTellApart(lower.value, upper.value, unit);
  const start = numberText(lower.value, unit, places);
  const end = `${numberText(upper.value, unit, places)} ${unitText(upper.value, unit)}`;
  if (lower.closed && upper.closed) return `${start} to ${end}`;
  return `${lower.closed ? "" : "over "}${start} ${unitText(lower.value, unit)} to ${upper.closed ? "" : "under "}${end}`;
}

/** Whether it goes without saying: nobody's weight, pressure or limb is nothing. */
function isNaturalLimit(lower: Endpoint | undefined): boolean {
  return lower !== undefined && !lower.closed && lower.value.equals(0);
}

/** A region for a reader: "45 kg to under 50 kg, systolic 90 to 120 mmHg", or "every patient". */
export function regionText({ ranges, exact }: Region): string {
  const parts = VARIABLES.flatMap((variable) => {
    const range = ranges[variable];
    return range ? [`${PREFIXES[variable]}${rangeText(range, VARIABLE_UNITS[variable])}`] : [];
  });
  if (parts.length === 0) return exact ? "every patient" : "some patients";
  return exact ? parts.join(", ") : `some patients among ${parts.join(", ")}`;
}

/** Several regions in one line; beyond `most` the rest are counted: "…; and 12 more ranges". */
export function regionsText(regions: readonly Region[], most = USUAL_REGIONS): string {
  const named = regions.slice(0, most).map(regionText);
  const rest = regions.length - named.length;
  if (rest > 0) named.push(`and ${rest} more ${rest === 1 ? "range" : "ranges"}`);
  return named.join("; ");
}

/** A patient for a reader: "45 kg, age 30 years, systolic 120 mmHg". */
export function patientText(patient: Patient): string {
  return VARIABLES.flatMap((variable) => {
    const value = patient[variable];
    if (!value) return [];
    const told =
      variable === "age" ? completedAgeText(value) : amount(value, requireUnit(VARIABLE_UNITS[variable]));
    return [`${PREFIXES[variable]}${told}`];
  }).join(", ");
}

/** A weight is known by its unit; the others are named. */
const PREFIXES: Readonly<Record<Variable, string>> = {
  weight: "",
  age: "age ",
  systolic: "systolic ",
  circumference: "circumference ",
};

/** The unit in which each measure of a patient is told; base units. */
export const VARIABLE_UNITS: Readonly<Record<Variable, string>> = {
  weight: "kg",
  age: "years",
  systolic: "mmHg",
  circumference: "cm",
};

function amount(value: Rational | undefined, unit: Unit): string {
  return value ? `${numberText(value, unit, USUAL_PLACES)} ${unitText(value, unit)}` : "";
}

function numberText(value: Rational, unit: Unit, places: number): string {
  const inUnit = value.div(unit.perBase);
  if (places > MOST_PLACES) return exactText(inUnit);
  const { text, rounded } = decimalText(inUnit, places);
  return rounded ? `about ${text}` : text;
}

function placesToTellApart(a: Rational, b: Rational, unit: Unit): number {
  let places = USUAL_PLACES;
  while (places <= MOST_PLACES && numberText(a, unit, places) === numberText(b, unit, places)) places += 1;
  return places;
}

/** "1 year", "1 month", but "0.5 years". */
function unitText(value: Rational, unit: Unit): string {
  const isOne = value.equals(unit.perBase);
  return isOne && (unit.symbol === "years" || unit.symbol === "months")
    ? unit.symbol.slice(0, -1)
    : unit.symbol;
}
