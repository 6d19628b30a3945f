import type { Origin, PatientEvidence, Severity } from "@limbwright/shared/finding";
import {
  amountText,
  type Dimension,
  decimalText,
  durationText,
  inBase,
  ONE,
  type Rational,
  rational,
  VOLUME,
  VOLUME_RATE,
  ZERO,
} from "@limbwright/shared/quantity";
import { type Amount, type Dose, type Emergency, massOrVolume, type Protocol } from "../../model/index.ts";
import {
  type Box,
  type Broken,
  type Comparison,
  compare,
  type Expression,
  regionsText,
  type Witness,
} from "../../population/index.ts";
import { evidenceOf } from "../engine/evidence.ts";
import type { Undecided } from "../engine/judgement.ts";
import { isInfusion, lipidDosesGiven } from "../facts/emergencies-reached.ts";
import { mostGiven } from "../facts/most-given.ts";
import { type Given, type Scheme, TOLERANCE } from "./schemes.ts";

export type Part = "bolus" | "time" | "repeats" | "rate" | "total";

/** One part of a rescue that is not as a scheme has it. */
export interface Difference {
  readonly part: Part;
  readonly dose: string;
  readonly origin: Origin;
  readonly severity: Severity;
  /** What the protocol says or does; follows "`lipid-bolus`". */
  readonly is: string;
  /** The scheme's own words. */
  readonly published: string;
  readonly evidence?: PatientEvidence;
}

export interface Differences {
  readonly scheme: Scheme;
  readonly differences: readonly Difference[];
  readonly undecided: readonly Undecided[];
}

export interface Patients {
  readonly box: Box;
  readonly cancelled: () => boolean;
}

/** How a plan differs from a scheme, part by part. Parts that are missing altogether are not compared. */
export function differencesFrom(scheme: Scheme, plan: RescuePlan, patients: Patients): Differences {
  const all = [
    ...plan.boluses.flatMap((dose) => [
      ...amounts("bolus", dose, bolusVolume(dose), scheme.bolus, patients),
      ...timeToGive(dose, scheme),
    ]),
    ...repeats(plan, scheme, patients),
    ...rates(plan, scheme, patients),
    ...totals(plan, scheme, patients),
  ];
  return {
    scheme,
    differences: all.filter((one) => "part" in one),
    undecided: all.filter((one) => "limit" in one),
  };
}

type Outcome = Difference | Undecided;

function amounts(
  part: Part,
  dose: Dose,
  written: WrittenAmount | undefined,
  given: Given,
  { box, cancelled }: Patients,
): Outcome[] {
  if (!written) return [{ limit: `\`${dose.name}\` cannot be told in mL`, origin: dose.origin }];
  const difference = amountDifference(written, given, box, cancelled);
  if (!difference) return [];
  if ("limit" in difference) return [{ limit: difference.limit, origin: dose.origin }];
  const { words, severity, evidence } = difference;
  const is = `gives ${words}`;
  return [{ part, dose: dose.name, origin: written.origin, severity, is, published: given.says, evidence }];
}

function timeToGive(dose: Dose, { over }: Scheme): Outcome[] {
  const difference = { part: "time", dose: dose.name, severity: "doubtful", published: over.says } as const;
  if (!dose.over) return [{ ...difference, origin: dose.nameOrigin, is: "does not say how long it takes" }];
  const { shortest, longest, origin } = dose.over;
  const tooShort = shortest.compare(over.shortest.mul(ONE.sub(TOLERANCE))) < 0;
  const tooLong = !longest || longest.compare(over.longest.mul(ONE.add(TOLERANCE))) > 0;
  if (!tooShort && !tooLong) return [];
  return [{ ...difference, origin, is: tooShort ? "is given faster" : "is given more slowly" }];
}

function repeats(plan: RescuePlan, scheme: Scheme, patients: Patients): Outcome[] {
  const [dose] = plan.boluses;
  if (!dose) return [];
  if (!plan.repeatsStandWithTheDose) {
    const limit = "the bolus is repeated by steps; when each comes is not explored in this version";
    return [{ limit, origin: dose.origin }];
  }
  const { repeat } = dose;
  const difference = { part: "repeats", dose: dose.name, severity: "doubtful" } as const;
  if (!scheme.repeat) {
    if (repeat || plan.infusions.some((infusion) => isDoubled(infusion, scheme, patients))) return [];
    const is = "is not repeated, and the infusion not doubled";
    const published = "repeat the bolus or double the infusion";
    return [{ ...difference, origin: dose.nameOrigin, is, published }];
  }
  const published = scheme.repeat.says;
  if (!repeat) return [{ ...difference, origin: dose.nameOrigin, is: "is not repeated", published }];
  const off = inBase(repeat.interval).sub(scheme.repeat.interval).abs();
  if (repeat.times === scheme.repeat.times && off.compare(scheme.repeat.interval.mul(TOLERANCE)) <= 0)
    return [];
  const is = `is repeated ${repeat.times === 1 ? "once" : `${repeat.times} times`}, every ${durationText(inBase(repeat.interval))}`;
  return [{ ...difference, origin: repeat.origin, is, published }];
}

/** One infusion has the scheme's rate; another may be that rate doubled. */
function rates(plan: RescuePlan, scheme: Scheme, patients: Patients): Outcome[] {
  const outcomes = plan.infusions.map((dose) => ({
    dose,
    outcome: amounts("rate", dose, infusionRate(dose), scheme.rate, patients),
  }));
  const hasBase = outcomes.some(({ outcome }) => outcome.length === 0);
  return outcomes.flatMap(({ dose, outcome }) =>
    hasBase && isDoubled(dose, scheme, patients) ? [] : outcome,
  );
}

function isDoubled(dose: Dose, { rate }: Scheme, patients: Patients): boolean {
  const double = rational(2);
  const doubled = { low: scaleBy(rate.low, double), high: scaleBy(rate.high, double), says: rate.says };
  return amounts("rate", dose, infusionRate(dose), doubled, patients).length === 0;
}

function totals(plan: RescuePlan, { total }: Scheme, patients: Patients): Outcome[] {
  const doses = [...plan.infusions, ...plan.boluses];
  const limited = doses.filter((dose) => dose.total);
  const [first] = doses;
  if (limited.length > 0 || !first) {
    return limited.flatMap((dose) => amounts("total", dose, totalVolume(dose), total, patients));
  }
  const { name, nameOrigin: origin } = first;
  const is = "does not say where to stop";
  return [{ part: "total", dose: name, origin, severity: "doubtful", is, published: total.says }];
}

/** A part of the rescue as the protocol writes it: from `low` to `high`, in mL or mL/s. */
interface WrittenAmount {
  readonly low: Expression;
  readonly high: Expression;
  /** The unit it is told in. */
  readonly unit: "mL" | "mL/h";
  readonly origin: Origin;
}

/** How an amount differs from a scheme, and for whom. */
interface AmountDifference {
  /** "less for 45 kg to under 50 kg; more for …" */
  readonly words: string;
  readonly severity: Severity;
  readonly evidence: PatientEvidence;
}

/** Undefined when the amount is the scheme's, within the tolerance, for every patient. */
function amountDifference(
  written: WrittenAmount,
  given: Given,
  box: Box,
  cancelled: () => boolean,
): AmountDifference | { readonly limit: string } | undefined {
  const least = scaleBy(given.low, ONE.sub(TOLERANCE));
  const most = scaleBy(given.high, ONE.add(TOLERANCE));
  const under = compare(written.low, "at-least", least, box, { cancelled });
  const over = compare(written.high, "at-most", most, box, { cancelled });
  const limit = limitOf(under) ?? limitOf(over);
  if (limit !== undefined) return { limit };
  const sides = [
    ...(under.kind === "broken" ? [{ word: "less", broken: under, factor: ONE.sub(TOLERANCE) }] : []),
    ...(over.kind === "broken" ? [{ word: "more", broken: over, factor: ONE.add(TOLERANCE) }] : []),
  ];
  const [first] = sides;
  if (!first) return undefined;
  const evidences = sides.map(({ broken, word, factor }) =>
    evidenceOf(broken, (witness) => differenceText(witness, word, factor, written.unit)),
  );
  return {
    words: sides.map(({ word, broken }) => `${word} for ${regionsText(broken.regions)}`).join("; "),
    severity: sides.some(({ broken, factor }) => isFarOff(broken, factor)) ? "unsafe" : "doubtful",
    evidence: together(evidences),
  };
}

function limitOf(comparison: Comparison): string | undefined {
  return comparison.kind === "not-decided" ? comparison.limit : undefined;
}

function scaleBy(of: Expression, factor: Rational): Expression {
  return { kind: "scaled", factor, of };
}

/** "150 mL, published 100 mL: 50 % more"; the right side of the witness is the published value by `factor`. */
function differenceText({ left, right }: Witness, word: string, factor: Rational, unit: string): string {
  const published = right.div(factor);
  const told = `${amountText(left, unit)}, published ${amountText(published, unit)}`;
  if (published.compare(0) === 0) return told;
  const percent = left.sub(published).abs().div(published).mul(100);
  return `${told}: ${decimalText(percent, 0).text} % ${word}`;
}

/** Less than half, or more than twice, of the published value for some patient. */
function isFarOff({ worst, clean }: Broken, factor: Rational): boolean {
  if (worst.kind === "endless") return true;
  return [worst, clean].some(({ left, right }) => {
    const published = right.div(factor);
    return left.mul(2).compare(published) < 0 || left.compare(published.mul(2)) > 0;
  });
}

function together(evidences: readonly PatientEvidence[]): PatientEvidence {
  const [first] = evidences;
  if (!first) throw new Error("there is no evidence of a difference");
  return {
    ...first,
    ranges: evidences.flatMap(({ ranges }) => ranges),
    exact: evidences.every(({ exact }) => exact),
    everybody: evidences.some(({ everybody }) => everybody),
  };
}

/** The lipid emulsion that one emergency gives, or an answer that treats in place. */
export interface RescuePlan {
  readonly boluses: readonly Dose[];
  readonly infusions: readonly Dose[];
  /** Whether the one bolus is given by one step, so that its repeats stand with the dose alone. */
  readonly repeatsStandWithTheDose: boolean;
}

export function planOf(protocol: Protocol, treatment: Pick<Emergency, "steps">): RescuePlan {
  const doses = lipidDosesGiven(protocol, treatment);
  const boluses = doses.filter((dose) => !isInfusion(dose));
  const [first] = boluses;
  return {
    boluses,
    infusions: doses.filter(isInfusion),
    repeatsStandWithTheDose:
      boluses.length === 1 && first !== undefined && isGivenOnce(protocol, treatment, first),
  };
}

/** Whether these steps give a dose once; its own `repeat` is not counted. */
function isGivenOnce(protocol: Protocol, { steps }: Pick<Emergency, "steps">, dose: Dose): boolean {
  const most = mostGiven({ ...protocol, steps, throughout: [], emergencies: [] });
  return !("limit" in most) && most.every((counts) => (counts.get(dose.name) ?? 0) <= 1);
}

/** The amount of a bolus in mL; undefined where it cannot be told as a volume. */
function bolusVolume(dose: Dose): WrittenAmount | undefined {
  return dose.amount && asWritten(dose, dose.amount, VOLUME, "mL");
}

/** The most of lipid emulsion that a dose's `total up to` allows, in mL. */
function totalVolume(dose: Dose): WrittenAmount | undefined {
  return dose.total && asWritten(dose, dose.total, VOLUME, "mL");
}

/** The rate of an infusion in mL/s: as written, or the amount over its longest and its shortest time. */
function infusionRate(dose: Dose): WrittenAmount | undefined {
  if (dose.rate) return asWritten(dose, dose.rate, VOLUME_RATE, "mL/h");
  const { amount, volume, over } = dose;
  if (!amount || !volume || !over?.longest) return undefined;
  const within = (seconds: Rational) => scaleBy(volume, seconds.inverse());
  return { low: within(over.longest), high: within(over.shortest), unit: "mL/h", origin: amount.origin };
}

function asWritten(
  { concentration }: Dose,
  amount: Amount,
  wanted: Dimension,
  unit: WrittenAmount["unit"],
): WrittenAmount | undefined {
  const expression = massOrVolume(amount, wanted, concentration ? inBase(concentration) : ZERO);
  return expression && { low: expression, high: expression, unit, origin: amount.origin };
}
