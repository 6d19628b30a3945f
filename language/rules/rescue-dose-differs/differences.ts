import type { Origin, PatientEvidence, Severity } from "@limbwright/shared/finding";
import { durationText, inBase, ONE, rational } from "@limbwright/shared/quantity";
import type { Dose } from "../../model/index.ts";
import type { Box } from "../../population/index.ts";
import type { Undecided } from "../engine/judgement.ts";
import { amountDifference, scaleBy, type WrittenAmount } from "./amount-difference.ts";
import { bolusVolume, infusionRate, type RescuePlan, totalVolume } from "./plan.ts";
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
