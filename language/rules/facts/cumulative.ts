import type { Origin } from "@limbwright/shared/finding";
import { inBase, MASS, rational, VOLUME, ZERO } from "@limbwright/shared/quantity";
import { type Agent, type Dose, massOrVolume } from "../../model/index.ts";
import type { Expression } from "../../population/index.ts";
import type { Undecided } from "../engine/judgement.ts";
import { isSameDrug } from "./drugs.ts";
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
 * What a run gives of a drug in all, for the count of each dose in that run.
 *
 * A dose's `repeat N times` is N more after the first, each time it is given. A rate counts with its
 * `total up to`; without one it has no total. A drug mixed into a dose counts for itself. `total up to` caps
 * all of that drug in the run: its dose is stopped when the run has had that much, whoever gave it. What
 * doses without a cap have given stays given, so they always count in full.
 *
 * No greater count ever gives a smaller total.
 */
export function totalOf(
  agent: Agent,
  counts: DoseCounts,
  doses: readonly Dose[],
  measured: Measured,
): Total | UnknownTotal {
  const uncapped: Portion[] = [];
  const capped: Portion[] = [];
  const caps: Expression[] = [];
  for (const dose of doses) {
    const count = counts.get(dose.name) ?? 0;
    if (count === 0) continue;
    const portions = portionsOf(agent, dose, count, measured);
    if ("kind" in portions) return portions;
    const cap = isSameDrug(dose.agent, agent) ? capOf(dose, measured) : undefined;
    (cap ? capped : uncapped).push(...portions);
    if (cap) caps.push(cap);
  }
  const free = sumOf(uncapped);
  const all = sumOf([{ amount: free, times: 1 }, ...capped]);
  const cap = caps.reduce<Expression | undefined>(
    (most, next) => (most ? { kind: "greater", left: most, right: next } : next),
    undefined,
  );
  return {
    kind: "total",
    amount: cap ? { kind: "lesser", left: all, right: { kind: "greater", left: free, right: cap } } : all,
    givings: [...uncapped, ...capped].reduce((sum, { times }) => sum + times, 0),
  };
}

/** What one giving of a dose gives of its own drug, without its repeats; undefined where that is not known. */
export function singleAmount(dose: Dose, measured: Measured): Expression | undefined {
  const cap = capOf(dose, measured);
  if (dose.rate) return cap;
  const amount = dose[measured];
  return amount && cap ? { kind: "lesser", left: amount, right: cap } : amount;
}

/** An amount that is given so many times. */
interface Portion {
  readonly amount: Expression;
  readonly times: number;
}

function portionsOf(
  agent: Agent,
  dose: Dose,
  count: number,
  measured: Measured,
): readonly Portion[] | UnknownTotal {
  if (!dose.agent) return unknownTotal("the drug of", dose);
  const times = count * (1 + (dose.repeat?.times ?? 0));
  const own = isSameDrug(dose.agent, agent) ? ownPortions(dose, times, measured) : [];
  if ("kind" in own) return own;
  const mixedIn: Portion[] = [];
  for (const adjuvant of dose.adjuvants) {
    if (adjuvant.agent && !isSameDrug(adjuvant.agent, agent)) continue;
    const amount = adjuvant.agent && adjuvant[measured];
    if (!amount) return unknownTotal("what is mixed into", dose, adjuvant.origin);
    mixedIn.push({ amount: notNegative(amount), times });
  }
  return [...own, ...mixedIn];
}

/** What the dose gives of its own drug: its amount each time, and a rate's total once, for it caps them all. */
function ownPortions(dose: Dose, times: number, measured: Measured): readonly Portion[] | UnknownTotal {
  if (!dose.amount && !dose.rate) return unknownTotal("the amount of", dose);
  const portions: Portion[] = [];
  if (dose.rate) {
    const cap = capOf(dose, measured);
    if (!cap) return noTotal(dose, measured);
    portions.push({ amount: cap, times: 1 });
  }
  if (dose.amount) {
    const amount = dose[measured];
    if (!amount) return unknownTotal(`without a concentration the ${measured} of`, dose);
    portions.push({ amount: notNegative(amount), times });
  }
  return portions;
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
  switch (amount.kind) {
    case "constant":
    case "variable":
      return false;
    case "difference":
      return true;
    case "scaled":
    case "rounded-down":
      return hasDifference(amount.of);
    case "bands":
      return amount.rows.some(({ value }) => hasDifference(value));
    case "sum":
    case "lesser":
    case "greater":
      return hasDifference(amount.left) || hasDifference(amount.right);
  }
}

const NOTHING: Expression = { kind: "constant", value: ZERO };

function sumOf(portions: readonly Portion[]): Expression {
  const amounts = portions.map(({ amount, times }) => scaleAmount(amount, times));
  const [first, ...others] = amounts.filter((amount) => amount !== NOTHING);
  return others.reduce<Expression>((left, right) => ({ kind: "sum", left, right }), first ?? NOTHING);
}

function scaleAmount(amount: Expression, times: number): Expression {
  return times === 1 ? amount : { kind: "scaled", factor: rational(times), of: amount };
}
