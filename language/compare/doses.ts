import { MASS_RATE, sameDimension } from "@limbwright/shared/quantity";
import { amountWords, type Dose, quantityWords } from "../model/index.ts";
import { adjuvantChanges } from "./adjuvants.ts";
import { type AmountDifference, amountDifference, evidenceIn, FOR_OTHERS } from "./amounts.ts";
import { aboutDose, asForRescue, directionsFor, isRescue, kindFor } from "./dose-directions.ts";
import { repeatChanges } from "./dose-repeats.ts";
import { totalDifference } from "./dose-totals.ts";
import { isSameDrug } from "./drugs.ts";
import { durationChange } from "./durations.ts";
import { partedByKey } from "./parted.ts";
import { meansTheSame } from "./same.ts";
import { bothSides, type Covered, type FoundChange, type Sides } from "./side.ts";

/** The doses, each as a whole function of the patient. */
export function doseChanges(sides: Sides): FoundChange[] {
  const { before, now } = sides;
  const { pairs, gone, added } = partedByKey(before.doses, now.doses, ({ name }) => name);
  return [
    ...pairs.flatMap(([old, recent]) => changedDose(old, recent, sides)),
    ...gone.map(
      (dose): FoundChange => ({
        kind: "different",
        about: aboutDose(dose),
        what: `The dose \`${dose.name}\` of ${nameOf(dose)} is no longer there.`,
        ...bothSides(dose, undefined, wordsOf),
        isOfFirstNumber: true,
      }),
    ),
    ...added.map(
      (dose): FoundChange => ({
        kind: "different",
        about: aboutDose(dose),
        what: `The dose \`${dose.name}\` of ${nameOf(dose)} is new.`,
        ...bothSides(undefined, dose, wordsOf),
        isOfFirstNumber: true,
      }),
    ),
  ];
}

function nameOf({ agent }: Dose): string {
  return agent?.name ?? "a drug that is not known";
}

function wordsOf({ agent, amount, rate }: Dose): string {
  const given = amount ?? rate;
  return [agent?.name, given && amountWords(given.node)].filter(Boolean).join(" ");
}

function changedDose(before: Dose, now: Dose, sides: Sides): FoundChange[] {
  return [
    ...agentChange(before, now),
    ...concentrationChange(before, now),
    ...amountChanges(before, now, sides),
    ...durationChange(
      { about: aboutDose(now), name: `The time over which \`${now.name}\` is given` },
      before.over,
      now.over,
    ).map((found) => asForRescue(now, found)),
    ...repeatChanges(before, now),
    ...adjuvantChanges(before, now, sides),
  ];
}

function agentChange(before: Dose, now: Dose): FoundChange[] {
  if (isSameDrug(before.agent, now.agent)) return [];
  return [
    {
      kind: "different",
      about: aboutDose(now),
      what: `\`${now.name}\` is ${nameOf(now)} now; before, ${nameOf(before)}.`,
      before: { says: nameOf(before), origin: before.agentOrigin },
      now: { says: nameOf(now), origin: now.agentOrigin },
      isOfFirstNumber: true,
    },
  ];
}

function concentrationChange(before: Dose, now: Dose): FoundChange[] {
  const [old, recent] = [before.concentration, now.concentration];
  if (meansTheSame(old, recent)) return [];
  const told = (one: typeof old) => (one ? quantityWords(one) : "no concentration");
  return [
    {
      kind: "different",
      about: aboutDose(now),
      what: `\`${now.name}\` is given at ${told(recent)} now; before, at ${told(old)}.`,
      ...bothSides(old, recent, quantityWords),
      isOfFirstNumber: true,
    },
  ];
}

function amountChanges(before: Dose, now: Dose, sides: Sides): FoundChange[] {
  const { covered } = sides;
  const isOneSided = (before.total === undefined) !== (now.total === undefined);
  const ofKind = (name: string, part: "amount" | "rate" | "total", found: AmountDifference) =>
    amountChange({ name, now, found }, before[part], now[part]);
  return [
    ...ofKind("The amount", "amount", amountFound(before, now, covered)),
    ...ofKind("The rate", "rate", of(before.rate, now.rate, now, covered)),
    ...ofKind(
      "The most in all",
      "total",
      isOneSided ? totalDifference(before, now, sides) : of(before.total, now.total, now, covered),
    ),
  ];
}

/** In the measure in which the later version writes it, where both can be told so; else in the other one. */
function amountFound(before: Dose, now: Dose, covered: Covered): AmountDifference {
  const inUnit = (unit: "mg" | "mL", old: Dose["mass"], recent: Dose["mass"]) =>
    old && recent ? amountDifference(old, recent, covered, directionsFor(now, unit)) : undefined;
  const asMass = () => inUnit("mg", before.mass, now.mass);
  const asVolume = () => inUnit("mL", before.volume, now.volume);
  const isVolume = now.amount?.dimension.volume !== undefined;
  const found = isVolume && isSameStrength(before, now) ? (asVolume() ?? asMass()) : (asMass() ?? asVolume());
  if (found) return found;
  const isSame = meansTheSame([before.amount, before.mass], [now.amount, now.mass]);
  return isSame ? {} : { limit: "both amounts cannot be told in one unit" };
}

/** Only then are more millilitres more of the drug. */
function isSameStrength(before: Dose, now: Dose): boolean {
  return meansTheSame(before.concentration, now.concentration);
}

interface AmountFound {
  readonly name: string;
  readonly now: Dose;
  readonly found: AmountDifference;
}

function amountChange(
  { name, now, found }: AmountFound,
  old: Dose["amount"],
  recent: Dose["amount"],
): FoundChange[] {
  const evidence = evidenceIn(found);
  if (evidence.length === 0 && found.limit === undefined && !found.forOthers) return [];
  const told = (one: Dose["amount"]) => (one ? amountWords(one.node) : "not stated");
  return [
    {
      kind: found.forOthers ? "needs-a-reader" : kindFor(now, found),
      about: aboutDose(now),
      what: `${name} of \`${now.name}\` is ${told(recent)} now; before, ${told(old)}.${found.forOthers ? ` ${FOR_OTHERS}` : ""}`,
      ...bothSides(old, recent, told),
      evidence,
      ...((isRescue(now) || found.limit !== undefined) && { isOfFirstNumber: true }),
      ...(found.limit !== undefined && { notDecided: found.limit }),
    },
  ];
}

/** Rates and totals; a rate that only one side has cannot be held against anything. */
function of(before: Dose["rate"], now: Dose["rate"], dose: Dose, covered: Covered): AmountDifference {
  if (!before && !now) return {};
  if (!before || !now || !sameDimension(before.dimension, now.dimension)) {
    return { limit: "only one version states it, or in another measure" };
  }
  return amountDifference(before.expression, now.expression, covered, directionsFor(dose, unitOf(now)));
}

function unitOf({ dimension }: NonNullable<Dose["rate"]>): string {
  if (dimension.time) return sameDimension(dimension, MASS_RATE) ? "mg/h" : "mL/h";
  return dimension.volume ? "mL" : "mg";
}
