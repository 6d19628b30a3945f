import {
  AGE,
  agesText,
  contains,
  type Dimension,
  ONE,
  PRESSURE,
  type Rational,
  sameDimension,
  unitWithCode,
  WEIGHT,
} from "../quantity/index.ts";
import type { Patient, RuleFile } from "../rule-file/generated/rule-file.ts";
import { baseInterval, baseValue, type Measure, type MeasuredRange } from "../rule-file/measures.ts";

/** What is measured of a patient, in base units: kg, years, mmHg, cm. */
export type Measured = Readonly<Partial<Record<keyof Patient, Rational>>>;

/** Answers to what is contraindicated, by the words of `contraindicationsOf`; true: the patient has it. */
export type Answers = Readonly<Record<string, boolean>>;

/** Why a protocol may not be started on a patient. */
export type Unsuitable =
  /** A measure that the protocol needs is missing. */
  | { readonly kind: "not-given"; readonly measure: keyof Patient; readonly words: string }
  /** It is no number with a unit of what is measured. */
  | { readonly kind: "not-readable"; readonly measure: keyof Patient; readonly words: string }
  /** It is given in years, and something changes for the patient between two birthdays. */
  | { readonly kind: "not-precise"; readonly measure: keyof Patient; readonly words: string }
  /** The patient is none of those that the protocol was proven for. */
  | { readonly kind: "not-covered"; readonly measure: keyof Patient; readonly words: string }
  /** It was not said whether the patient has a condition that is contraindicated. */
  | { readonly kind: "not-answered"; readonly condition: string; readonly words: string }
  | { readonly kind: "contraindicated"; readonly condition: string; readonly words: string };

/** What a team has to ask before it starts, in the author's words, or by the name of the condition. */
export function contraindicationsOf({ protocol }: RuleFile): string[] {
  const asked = protocol.patients.conditions.filter(({ decision }) => decision === "contraindicated");
  return [...new Set(asked.map(({ text, condition }) => text ?? condition ?? ""))];
}

/** What stands against a patient; nothing where the protocol covers the patient. */
export function againstPatient(file: RuleFile, patient: Patient, answers: Answers): Unsuitable[] {
  return [
    ...findNeededMeasures(file).flatMap((measure) => againstMeasure(file, measure, patient[measure])),
    ...contraindicationsOf(file).flatMap((condition) => againstCondition(condition, answers)),
  ];
}

/** The measures of a patient that could be read, in base units. */
export function readMeasures(patient: Patient): Measured {
  return Object.fromEntries(
    MEASURES.flatMap((measure) => {
      const value = readable(measure, patient[measure]);
      return value ? [[measure, value]] : [];
    }),
  );
}

export const MEASURES = ["weight", "age", "systolic", "circumference"] as const;

/** What each of them is measured in. */
export const MEASURE_DIMENSIONS = {
  weight: WEIGHT,
  age: AGE,
  systolic: PRESSURE,
  circumference: { length: 1 },
} as const satisfies Record<keyof Patient, Dimension>;

export const MEASURE_WORDS: Readonly<Record<keyof Patient, string>> = {
  weight: "body weight",
  age: "age",
  systolic: "systolic blood pressure",
  circumference: "limb circumference",
};

/** The measures that are bounded, and those that a formula asks for. */
function findNeededMeasures({ protocol }: RuleFile): (keyof Patient)[] {
  const asked = new Set(valuesIn(protocol, "variable"));
  const perWeight = valuesIn(protocol.doses, "unit").some((unit) => String(unit).includes("/kg"));
  return MEASURES.filter(
    (measure) =>
      protocol.patients.bounds[measure] !== undefined ||
      asked.has(measure) ||
      (measure === "weight" && perWeight),
  );
}

/** The values of every member of one name, however deep it stands inside a value. */
export function valuesIn(value: unknown, name: string): unknown[] {
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => [
    ...(key === name ? [inner] : []),
    ...valuesIn(inner, name),
  ]);
}

/** What stands against one measure of a patient. */
export function againstMeasure(
  { protocol }: Pick<RuleFile, "protocol">,
  measure: keyof Patient,
  given: Measure | undefined,
): Unsuitable[] {
  const against = (kind: "not-given" | "not-readable" | "not-precise" | "not-covered", what: string) => [
    { kind, measure, words: `The patient's ${MEASURE_WORDS[measure]} ${what}.` },
  ];
  if (!given) return against("not-given", "is not known: the protocol cannot be followed without it");
  const value = readable(measure, given);
  if (!value) {
    const written = measureText(given);
    return against(
      "not-readable",
      `is given as \`${written}\`, which is no ${MEASURE_WORDS[measure]} with its unit`,
    );
  }
  if (measure === "age" && changesWithinYear(protocol, given, value)) {
    return against(
      "not-precise",
      `is given as ${measureText(given)}, and within that year the protocol changes: give it in completed months`,
    );
  }
  const range = protocol.patients.bounds[measure];
  const interval = range && baseInterval(range);
  if (!range || !interval || contains(interval, value)) return [];
  return against("not-covered", `is ${measureText(given)}; the protocol is for ${rangeText(range)}`);
}

/** Whether not all patients who are of this age, in completed years, are the same to the protocol. */
function changesWithinYear(protocol: RuleFile["protocol"], { unit }: Measure, age: Rational): boolean {
  if (unit !== "a" || age.d !== 1n) return false;
  const year = { lower: { value: age, closed: false }, upper: { value: age.add(ONE), closed: false } };
  return edgesOfAges(protocol).some((edge) => contains(year, edge));
}

/** Where all ranges of ages begin and end, in years: of the patients, of rows by age, of maxima. */
function edgesOfAges(value: unknown): Rational[] {
  if (typeof value !== "object" || value === null) return [];
  const { lower, upper } = (isRangeOfAges(value) && baseInterval(value)) || {};
  const edges = [lower, upper].flatMap((edge) => edge?.value ?? []);
  return [...edges, ...Object.values(value).flatMap(edgesOfAges)];
}

function isRangeOfAges(value: object): value is MeasuredRange {
  return "unit" in value && isAge(String(value.unit)) && ("lower" in value || "upper" in value);
}

function againstCondition(condition: string, answers: Answers): Unsuitable[] {
  const answer = Object.hasOwn(answers, condition) ? answers[condition] : undefined;
  if (answer === false) return [];
  if (answer === true) return [contraindicated(condition)];
  const words = `It was not said whether this contraindication is there: ${condition}.`;
  return [{ kind: "not-answered", condition, words }];
}

export function contraindicated(condition: string): Unsuitable {
  const words = `The patient has what the protocol names as a contraindication: ${condition}.`;
  return { kind: "contraindicated", condition, words };
}

/** A weight in kilograms and an age in years are both numbers: a value in the unit of something else is none. */
function readable(measure: keyof Patient, given: Measure | undefined): Rational | undefined {
  const unit = given && unitWithCode(given.unit);
  if (!unit || !sameDimension(unit.dimension, MEASURE_DIMENSIONS[measure])) return undefined;
  try {
    return baseValue(given);
  } catch {
    return undefined;
  }
}

const UNIT_WORDS: Readonly<Record<string, string>> = { a: "years", mo: "months", "mm[Hg]": "mmHg" };

function measureText({ value, unit }: Measure): string {
  return `${value} ${UNIT_WORDS[unit] ?? unit}`;
}

function isAge(code: string): boolean {
  const unit = unitWithCode(code);
  return unit !== undefined && sameDimension(unit.dimension, AGE);
}

function rangeText(range: MeasuredRange): string {
  const { unit, lower, upper } = range;
  const ages = isAge(unit) ? baseInterval(range) : undefined;
  const told = ages && agesText(ages);
  if (told !== undefined) return told;
  const from = lower && `${lower.closed ? "" : "over "}${measureText({ value: lower.value, unit })}`;
  const to = upper && `${upper.closed ? "" : "under "}${measureText({ value: upper.value, unit })}`;
  if (from === undefined) return upper?.closed ? `up to ${to}` : `${to}`;
  if (to === undefined) return lower?.closed ? `${from} and over` : from;
  return `${from} to ${to}`;
}
