import type { Origin } from "@limbwright/shared/finding";
import { inBase, MASS, MASS_RATE, rational, VOLUME, VOLUME_RATE, ZERO } from "@limbwright/shared/quantity";
import { type Agent, type Dose, massOrVolume, type Protocol } from "../../model/index.ts";
import { type Expression, partsOf } from "../../population/index.ts";
import type { Undecided } from "../engine/judgement.ts";
import { type GivenLate, givenLate } from "./after-a-rate.ts";
import { isOneOf } from "./drugs.ts";
import type { DoseCounts } from "./most-given.ts";

/** In what an amount is counted: mg, or mL. */
export type Measured = "mass" | "volume";

/** All that a run gives of one drug. */
export interface Total {
  readonly kind: "total";
  /** mg or mL, as a function of the patient; zero where nothing is given. */
  readonly amount: Expression;
  /** How many givings it is the sum of, repeats among them. */
  readonly givings: number;
}

/** The total is not known, and why. */
export interface UnknownTotal extends Undecided {
  readonly kind: "unknown";
  readonly origin: Origin;
}

/**
 * What a run gives of a drug in all, under all names that it has, for the count of each dose in that run.
 *
 * A dose's `repeat N times` is N more after the first, each time it is given. A drug mixed into a dose counts for itself. Fixed amounts
 * always count in full: nobody stops a syringe at a total. A rate counts with its `total up to`, at which the infusion is stopped when
 * the run has had that much, whoever gave it; without one it has no total. What is given when the infusion may have come to its total
 * is on top of it.
 *
 * No greater count ever gives a smaller total.
 */
export function totalOf(
  agents: readonly Agent[],
  counts: DoseCounts,
  protocol: Protocol,
  measured: Measured,
): Total | UnknownTotal {
  const fixed: (Portion & { readonly dose: string })[] = [];
  const infusions: Infusion[] = [];
  for (const dose of protocol.doses) {
    const count = counts.get(dose.name) ?? 0;
    if (count === 0) continue;
    const given = givenBy(agents, dose, count, measured);
    if ("kind" in given) return given;
    fixed.push(...given.fixed.map((portion) => ({ ...portion, dose: dose.name })));
    if (given.infusion) infusions.push(given.infusion);
  }
  return {
    kind: "total",
    amount:
      infusions.length > 0 ? withInfusions(infusions, fixed, givenLate(agents, protocol)) : sumOf(fixed),
    givings: fixed.reduce((sum, { times }) => sum + times, infusions.length),
  };
}

/** An infusion: how fast it runs, and the total at which it stops. */
interface Infusion {
  /** mg or mL in a second; undefined where that is not known. */
  readonly rate?: Expression;
  readonly cap: Expression;
}

/**
 * F is all that is given in fixed amounts, L what of it may come late, R the most that the infusion can have given by then. The infusion
 * brings what was given before to its total, or as far as it comes in the time; what comes late is on top; then it goes on to its total.
 */
function withInfusions(
  infusions: readonly Infusion[],
  fixed: readonly (Portion & { readonly dose: string })[],
  late: GivenLate,
): Expression {
  const cap = infusions.map((one) => one.cap).reduce(greaterOf);
  const all = sumOf([...fixed, ...infusions.map((one) => ({ amount: one.cap, times: 1 }))]);
  const timesLate = ({ dose, times }: (typeof fixed)[number]) => Math.min(times, late.times.get(dose) ?? 0);
  const early = sumOf(fixed.map((one) => ({ ...one, times: one.times - timesLate(one) })));
  const after = sumOf(fixed.map((one) => ({ ...one, times: timesLate(one) })));
  const every = sumOf(fixed);
  const completed: Expression = { kind: "sum", left: greaterOf(early, cap), right: after };
  const ran = late.seconds === Number.POSITIVE_INFINITY ? undefined : ranFor(late.seconds, infusions);
  const onTop = ran ? lesserOf({ kind: "sum", left: every, right: ran }, completed) : completed;
  const most = after === NOTHING ? greaterOf(every, cap) : greaterOf(greaterOf(every, cap), onTop);
  return lesserOf(all, most);
}

/** The most that infusions give in some seconds; undefined where a rate is not known. */
function ranFor(seconds: number, infusions: readonly Infusion[]): Expression | undefined {
  const rates = infusions.flatMap(({ rate }) => rate ?? []);
  if (rates.length < infusions.length) return undefined;
  return sumOf(rates.map((amount) => ({ amount, times: seconds })));
}

function greaterOf(left: Expression, right: Expression): Expression {
  return { kind: "greater", left, right };
}

function lesserOf(left: Expression, right: Expression): Expression {
  return { kind: "lesser", left, right };
}

/** What one giving of a dose gives of its own drug, without its repeats; undefined where that is not known. */
export function singleAmount(dose: Dose, measured: Measured): Expression | undefined {
  const amount = dose[measured];
  if (!dose.rate) return amount;
  const cap = capOf(dose, measured);
  return cap && amount ? greaterOf(cap, amount) : cap;
}

/** An amount that is given so many times. */
interface Portion {
  readonly amount: Expression;
  readonly times: number;
}

interface GivenByDose {
  readonly fixed: readonly Portion[];
  readonly infusion?: Infusion;
}

function givenBy(
  agents: readonly Agent[],
  dose: Dose,
  count: number,
  measured: Measured,
): GivenByDose | UnknownTotal {
  if (!dose.agent) return unknownTotal("the drug of", dose);
  const times = count * (1 + (dose.repeat?.times ?? 0));
  const own = isOneOf(agents, dose.agent) ? ownGiven(dose, times, measured) : { fixed: [] };
  if ("kind" in own) return own;
  const mixedIn: Portion[] = [];
  for (const adjuvant of dose.adjuvants) {
    if (adjuvant.agent && !isOneOf(agents, adjuvant.agent)) continue;
    const amount = adjuvant.agent && adjuvant[measured];
    if (!amount) return unknownTotal("what is mixed into", dose, adjuvant.origin);
    mixedIn.push({ amount: notNegative(amount), times });
  }
  return { ...own, fixed: [...own.fixed, ...mixedIn] };
}

/** What the dose gives of its own drug: its amount each time, and an infusion once, for its total is that of the run. */
function ownGiven(dose: Dose, times: number, measured: Measured): GivenByDose | UnknownTotal {
  if (!dose.amount && !dose.rate) return unknownTotal("the amount of", dose);
  const amount = dose.amount && dose[measured];
  if (dose.amount && !amount) return unknownTotal(`without a concentration the ${measured} of`, dose);
  const fixed = amount ? [{ amount: notNegative(amount), times }] : [];
  if (!dose.rate) return { fixed };
  const cap = capOf(dose, measured);
  if (!cap) return noTotal(dose, measured);
  const rate = rateOf(dose, measured);
  return { fixed, infusion: { cap, ...(rate && { rate }) } };
}

/** How much of the drug an infusion gives in a second. */
function rateOf({ rate, concentration }: Dose, measured: Measured): Expression | undefined {
  if (!rate) return undefined;
  return massOrVolume(
    rate,
    measured === "mass" ? MASS_RATE : VOLUME_RATE,
    concentration ? inBase(concentration) : ZERO,
  );
}

/** The dose's `total up to`. */
function capOf({ total, concentration }: Dose, measured: Measured): Expression | undefined {
  if (!total) return undefined;
  const perMillilitre = concentration ? inBase(concentration) : ZERO;
  return massOrVolume(total, measured === "mass" ? MASS : VOLUME, perMillilitre);
}

function noTotal(dose: Dose, measured: Measured): UnknownTotal {
  const what = dose.total
    ? `without a concentration the ${measured} of \`${dose.name}\` is not known`
    : `\`${dose.name}\` runs at a rate without \`total up to\`, so nothing says how much it gives`;
  return { kind: "unknown", limit: what, origin: dose.rate?.origin ?? dose.origin };
}

function unknownTotal(what: string, dose: Dose, origin = dose.origin): UnknownTotal {
  return { kind: "unknown", limit: `${what} \`${dose.name}\` is not known`, origin };
}

/** A difference may fall under zero for some patients; nothing is taken out of a patient. */
function notNegative(amount: Expression): Expression {
  if (!hasDifference(amount)) return amount;
  return { kind: "greater", left: amount, right: NOTHING };
}

function hasDifference(amount: Expression): boolean {
  return amount.kind === "difference" || partsOf(amount).some(hasDifference);
}

const NOTHING: Expression = { kind: "constant", value: ZERO };

function sumOf(portions: readonly Portion[]): Expression {
  const amounts = portions.map(({ amount, times }) => scaleAmount(amount, times));
  const [first, ...others] = amounts.filter((amount) => amount !== NOTHING);
  return others.reduce<Expression>((left, right) => ({ kind: "sum", left, right }), first ?? NOTHING);
}

function scaleAmount(amount: Expression, times: number): Expression {
  if (times === 0) return NOTHING;
  return times === 1 ? amount : { kind: "scaled", factor: rational(times), of: amount };
}
