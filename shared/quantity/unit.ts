import {
  AGE,
  CONCENTRATION,
  type Dimension,
  LENGTH,
  MASS,
  MASS_PER_WEIGHT,
  MASS_PER_WEIGHT_RATE,
  MASS_RATE,
  PRESSURE,
  TIME,
  VOLUME,
  VOLUME_PER_WEIGHT,
  VOLUME_PER_WEIGHT_RATE,
  VOLUME_RATE,
  WEIGHT,
} from "./dimension.ts";
import { ONE, type Rational, ratio, rational } from "./rational.ts";

/**
 * One accepted spelling of a unit.
 *
 * `perBase` is how many base units (mg, mL, s, cm, mmHg, kg, years) one of this unit is; `ucum` the
 * code under which programs know it (The Unified Code for Units of Measure). A percent strength is
 * weight in volume, 1 % = 10 mg/mL, which UCUM's "%" is not: it is coded as g/dL, the same thing.
 */
export interface Unit {
  readonly symbol: string;
  readonly ucum: string;
  readonly dimension: Dimension;
  readonly perBase: Rational;
}

function unit(symbol: string, ucum: string, dimension: Dimension, perBase: Rational = ONE): Unit {
  return { symbol, ucum, dimension, perBase };
}

const MICRO = ratio(1, 1000);
const GRAM = rational(1000);
const PER_MINUTE = ratio(1, 60);
const PER_HOUR = ratio(1, 3600);

/** Every unit the language accepts, each in its one spelling. */
export const UNITS: readonly Unit[] = [
  unit("mg", "mg", MASS),
  unit("mcg", "ug", MASS, MICRO),
  unit("g", "g", MASS, GRAM),
  unit("mL", "mL", VOLUME),
  unit("L", "L", VOLUME, rational(1000)),
  unit("s", "s", TIME),
  unit("min", "min", TIME, rational(60)),
  unit("h", "h", TIME, rational(3600)),
  unit("cm", "cm", LENGTH),
  unit("mm", "mm", LENGTH, ratio(1, 10)),
  unit("mmHg", "mm[Hg]", PRESSURE),
  unit("kg", "kg", WEIGHT),
  unit("years", "a", AGE),
  unit("year", "a", AGE),
  unit("months", "mo", AGE, ratio(1, 12)),
  unit("month", "mo", AGE, ratio(1, 12)),
  unit("%", "g/dL", CONCENTRATION, rational(10)),
  unit("mg/mL", "mg/mL", CONCENTRATION),
  unit("mcg/mL", "ug/mL", CONCENTRATION, MICRO),
  unit("mg/kg", "mg/kg", MASS_PER_WEIGHT),
  unit("mcg/kg", "ug/kg", MASS_PER_WEIGHT, MICRO),
  unit("mL/kg", "mL/kg", VOLUME_PER_WEIGHT),
  unit("mg/min", "mg/min", MASS_RATE, PER_MINUTE),
  unit("mg/h", "mg/h", MASS_RATE, PER_HOUR),
  unit("mL/min", "mL/min", VOLUME_RATE, PER_MINUTE),
  unit("mL/h", "mL/h", VOLUME_RATE, PER_HOUR),
  unit("mg/kg/min", "mg/kg/min", MASS_PER_WEIGHT_RATE, PER_MINUTE),
  unit("mg/kg/h", "mg/kg/h", MASS_PER_WEIGHT_RATE, PER_HOUR),
  unit("mcg/kg/min", "ug/kg/min", MASS_PER_WEIGHT_RATE, MICRO.mul(PER_MINUTE)),
  unit("mL/kg/min", "mL/kg/min", VOLUME_PER_WEIGHT_RATE, PER_MINUTE),
  unit("mL/kg/h", "mL/kg/h", VOLUME_PER_WEIGHT_RATE, PER_HOUR),
];

const BY_SYMBOL: ReadonlyMap<string, Unit> = new Map(UNITS.map((entry) => [entry.symbol, entry]));

/** The unit spelled exactly so, or undefined. */
export function unitOf(symbol: string): Unit | undefined {
  return BY_SYMBOL.get(symbol);
}

/** The unit spelled exactly so; throws where the program itself names a unit that does not exist. */
export function requireUnit(symbol: string): Unit {
  const found = BY_SYMBOL.get(symbol);
  if (!found) throw new Error(`no unit is spelled "${symbol}"`);
  return found;
}

/** The unit that programs know under a code, in its usual spelling. */
export function unitWithCode(ucum: string): Unit | undefined {
  return UNITS.find((entry) => entry.ucum === ucum);
}

/** What a spelling that the language does not accept stands for, and why it is not accepted. */
export interface UnitMisspelling {
  /** Undefined for units of activity, of which the language has none. */
  readonly unit?: Unit;
  /** `error-prone` when a published list of dangerous dose expressions names it, else `spelling`. */
  readonly kind: "error-prone" | "spelling";
  /** How an error-prone one is misread: "cc is misread as U, or as zeros". */
  readonly misread?: string;
}

/**
 * Spellings on the lists of error-prone dose expressions of the Institute for Safe Medication Practices. Read in a
 * report of the list (http://www.pulmonologyadvisor.com/clinical-charts/error-prone-dose-designations/article/661735/):
 * "mcg", not the micro sign; "mL", not "cc". From memory of the same list: U and IU for units of activity, and
 * what each is misread as.
 */
const ERROR_PRONE: readonly {
  readonly spelling: RegExp;
  readonly right?: string;
  readonly misread: string;
}[] = [
  {
    spelling: /^\u00b5[gG]$/,
    right: "mcg",
    misread: "the micro sign (U+00B5) is misread as m, which is a thousand times as much",
  },
  {
    spelling: /^\u03bc[gG]$/,
    right: "mcg",
    misread:
      "the Greek letter mu (U+03BC), which looks like the micro sign, is misread as m, which is a thousand times as much",
  },
  { spelling: /^cc$/i, right: "mL", misread: "cc is misread as U, or as zeros" },
  { spelling: /^u$/i, misread: "U is misread as a zero, a four or cc" },
  { spelling: /^iu$/i, misread: "IU is misread as IV, or as 10" },
];

/** What is not accepted, by the unit that it stands for. */
const OTHER_SPELLINGS: Readonly<Record<string, readonly string[]>> = {
  mcg: ["ug", "microgram", "micrograms"],
  g: ["gm", "gram", "grams"],
  "mcg/kg": ["ug/kg"],
  "mcg/mL": ["ug/mL"],
  mg: ["mgs", "milligram", "milligrams"],
  mL: ["mls", "millilitre", "millilitres", "milliliter", "milliliters"],
  L: ["litre", "liter"],
  s: ["sec", "secs", "second", "seconds"],
  min: ["mins", "minute", "minutes"],
  h: ["hr", "hrs", "hour", "hours"],
  years: ["yr", "yrs", "y"],
  months: ["mo"],
  kg: ["kgs", "kilogram", "kilograms"],
  "%": ["percent"],
  mmHg: ["mm Hg", "mm[Hg]"],
  "mL/h": ["mL/hr", "mL/hour"],
  "mL/kg/h": ["mL/kg/hr", "mL/kg/hour"],
  "mg/h": ["mg/hr"],
  "mg/kg/h": ["mg/kg/hr"],
};

const SPELLINGS: ReadonlyMap<string, Unit> = new Map(
  Object.entries(OTHER_SPELLINGS).flatMap(([right, wrong]) =>
    wrong.map((one): [string, Unit] => [one, requireUnit(right)]),
  ),
);

/** What was meant by a spelling the language does not accept; undefined when nothing is close. */
export function misspeltUnit(text: string): UnitMisspelling | undefined {
  const meant = SPELLINGS.get(text) ?? SPELLINGS.get(text.toLowerCase()) ?? otherCase(text);
  return errorProne(text) ?? (meant && { unit: meant, kind: "spelling" });
}

/** A unit with an error-prone word in place of one of its parts: "cc", "cc/kg", "\u00b5g/kg/min", "U/mL". */
function errorProne(text: string): UnitMisspelling | undefined {
  const parts = text.split("/");
  for (const { spelling, right, misread } of ERROR_PRONE) {
    if (!parts.some((part) => spelling.test(part))) continue;
    if (right === undefined) return { kind: "error-prone", misread };
    const corrected = parts.map((part) => (spelling.test(part) ? right : part)).join("/");
    const unit = unitOf(corrected) ?? misspeltUnit(corrected)?.unit;
    if (unit) return { unit, kind: "error-prone", misread };
  }
  return undefined;
}

function otherCase(text: string): Unit | undefined {
  return UNITS.find((entry) => entry.symbol.toLowerCase() === text.toLowerCase());
}
