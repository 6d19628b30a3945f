import type { Origin } from "@limbwright/shared/finding";
import {
  type Dimension,
  greater,
  type Interval,
  inBase,
  intersect,
  isEmpty,
  lesser,
  type MassUnit,
  massUnitIn,
  quantityText,
  type Rational,
  sameDimension,
  VOLUME,
} from "@limbwright/shared/quantity";
import type { Agent, Maximum } from "../../model/index.ts";
import {
  type Box,
  bandFaults,
  type Expression,
  type Measure,
  rangeText,
  type Witness,
} from "../../population/index.ts";
import { absoluteText, perWeightText } from "../engine/evidence.ts";
import type { Undecided } from "../engine/judgement.ts";

/** The limit as a function of the patient, in mg, or in mL where it is a volume. */
export function limitExpression({ limit }: Maximum): Expression {
  const base = inBase(limit);
  return isPerWeight(limit.unit.dimension)
    ? { kind: "scaled", factor: base, of: { kind: "variable", variable: "weight" } }
    : { kind: "constant", value: base };
}

export function isPerWeight(dimension: Dimension): boolean {
  return dimension.weight === -1;
}

/** Whether the limit is on a volume (mL, mL/kg) and not on a mass. */
export function isVolumeLimit({ limit }: Maximum): boolean {
  return limit.unit.dimension.volume === VOLUME.volume;
}

/** What is asked of an amount, in mg or in mL as the limit is, that it is within it. */
export function withinLimit(amount: Expression, maximum: Maximum) {
  const measure: Measure = isPerWeight(maximum.limit.unit.dimension) ? "per-weight" : "absolute";
  return { amount, is: "at-most", limit: limitExpression(maximum), measure } as const;
}

/** How far an amount is over a limit for a patient: "200 mg = 4.44 mg/kg, 0.44 mg/kg over"; a mass in the limit's unit, or in another. */
export function overText(witness: Witness, maximum: Maximum, told?: MassUnit): string {
  const unit = isVolumeLimit(maximum) ? "mL" : (told ?? massUnitIn(maximum.limit.unit.symbol) ?? "mg");
  return isPerWeight(maximum.limit.unit.dimension)
    ? perWeightText(witness, unit)
    : absoluteText(witness, unit);
}

/** The limit in words: "4 mg/kg", "3 mg/kg for age 11 years and under". */
export function limitText({ limit, ages }: Maximum): string {
  return ages ? `${quantityText(limit)} for age ${rangeText(ages, "years")}` : quantityText(limit);
}

/** The patients of the box for whom the limit holds; undefined when it holds for none of them. */
export function patientsUnder(box: Box, { ages }: Maximum): Box | undefined {
  if (!ages) return box;
  const age = box.age ? intersect(box.age, ages) : ages;
  return isEmpty(age) ? undefined : { ...box, age };
}

/**
 * The limit as a mass (mg) or a volume (mL), per kg where it is per weight, as `wanted` measures it. Of
 * several concentrations the one counts that gives the most; undefined where there is none.
 */
export function limitInUnit(agent: Agent, { limit }: Maximum, wanted: Dimension): Rational | undefined {
  if (sameDimension(limit.unit.dimension, wanted)) return inBase(limit);
  const [first, ...others] = agent.concentrations.map(inBase).filter((one) => one.compare(0) > 0);
  if (!first) return undefined;
  return wanted.volume
    ? inBase(limit).div(others.reduce(lesser, first))
    : inBase(limit).mul(others.reduce(greater, first));
}

/**
 * For whom there is no maximum at all: " for age 12 to 85 years", or an empty text where there is none for
 * anybody. Undefined where everybody of the box has one.
 */
function withoutMaximum(maxima: readonly Maximum[], box: Box): string | undefined {
  const covered = box.age ?? {};
  const { gaps } = bandFaults(
    maxima.map(({ ages }) => ages ?? {}),
    covered,
  );
  if (gaps.length === 0) return undefined;
  return maxima.length === 0 ? "" : agesText(gaps);
}

/** Why nothing is said of patients for whom a drug has no maximum; empty where everybody has one. */
export function lackingMaximum(
  { name, maxima }: Pick<Agent, "name" | "maxima">,
  box: Box,
  origin: Origin,
): Undecided[] {
  const lacking = withoutMaximum(maxima, box);
  return lacking === undefined ? [] : [{ limit: `the formulary gives ${name} no maximum${lacking}`, origin }];
}

/** " for age 11 years and under and 60 years and over"; an empty text for ages without limits. */
export function agesText(ages: readonly Interval[]): string {
  if (ages.some(({ lower, upper }) => !lower && !upper)) return "";
  return ` for age ${ages.map((range) => rangeText(range, "years")).join(" and ")}`;
}
