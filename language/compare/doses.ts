import {
  amountText,
  type MassUnit,
  quantityText,
  sameDimension,
  VOLUME,
  ZERO,
} from "@limbwright/shared/quantity";
import {
  type Adjuvant,
  amountWords,
  canonicalName,
  type Dose,
  type DoseRepeat,
  massUnitMixedIn,
  massUnitOf,
  type Protocol,
} from "../model/index.ts";
import { type Box, compare, type Expression, patientText, type Witness } from "../population/index.ts";
import { whom } from "../rules/engine/evidence.ts";
import { type Measured, totalOf } from "../rules/facts/cumulative.ts";
import { mostGiven } from "../rules/facts/most-given.ts";
import { syringeText } from "../rules/facts/syringes.ts";
import type { PatientsConcerned } from "./comparison.ts";
import {
  type AmountDifference,
  amountChange,
  amountDifference,
  type Directions,
  type Field,
  fieldChanges,
  NOBODY,
  NOT_STATED,
  textChanges,
  valueEvidence,
} from "./fields.ts";
import { partedByKey } from "./pairing.ts";
import { meaningText, meansTheSame } from "./same.ts";
import {
  bothSides,
  type Covered,
  type FoundChange,
  kindOf,
  oneSide,
  partedChanges,
  type Sides,
} from "./side.ts";

/** The doses, each as a whole function of the patient. */
export function doseChanges(sides: Sides): FoundChange[] {
  return partedChanges(
    partedByKey(sides.before.doses, sides.now.doses, ({ name }) => name),
    (before, now) => changedDose(before, now, sides),
    (dose, isNew) => ({
      code: isNew ? "dose-added" : "dose-removed",
      about: aboutDose(dose),
      what: `The dose \`${dose.name}\` of ${drugOf(dose)} is ${isNew ? "new" : "no longer there"}.`,
      ...oneSide(dose, isNew, wordsOf),
    }),
  );
}

function aboutDose({ name }: Dose): string {
  return `dose \`${name}\``;
}

function drugOf({ agent }: Pick<Dose, "agent">): string {
  return agent?.name ?? "a drug that is not known";
}

function wordsOf({ agent, amount, rate }: Dose): string {
  const given = amount ?? rate;
  return [agent?.name, given && amountWords(given.node)].filter(Boolean).join(" ");
}

const FIELDS: readonly Field<Dose>[] = [
  {
    code: "dose-drug",
    name: ({ name }) => `\`${name}\``,
    value: (dose) => ({ value: drugOf(dose), origin: dose.agentOrigin }),
    key: ({ agent }) => agent && canonicalName(agent.name),
    what: (name, now, before) =>
      now === before
        ? `The drug of ${name} is known on neither side, so nobody can say whether it is the same.`
        : `${name} is ${now} now; before, ${before}.`,
  },
  {
    code: "dose-concentration",
    name: ({ name }) => `\`${name}\``,
    value: ({ concentration: one }) => one && { value: quantityText(one), origin: one.origin },
    key: ({ concentration }) => meaningText(concentration),
    what: (name, now, before) => `${name} is given at ${now} now; before, at ${before}.`,
  },
  {
    code: "dose-syringe",
    name: ({ name }) => `The syringe of \`${name}\``,
    value: ({ syringe, origin }) => ({
      value: syringe ? syringeText(syringe) : NOT_STATED,
      origin: syringe?.origin ?? origin,
    }),
    key: ({ syringe }) => meaningText(syringe),
  },
  {
    code: "dose-duration",
    name: ({ name }) => `The time over which \`${name}\` is given`,
    duration: ({ over }) => over,
  },
];

const REPEATED: readonly Field<Dose>[] = [
  {
    code: "dose-interval",
    name: ({ name }) => `The time between two givings of \`${name}\``,
    limit: ({ repeat }) => repeat?.interval,
  },
];

function changedDose(before: Dose, now: Dose, sides: Sides): FoundChange[] {
  const about = aboutDose(now);
  const areRepeated = before.repeat && now.repeat;
  const condition = ({ repeat }: Dose) => (repeat?.condition ? [repeat.condition] : []);
  return [
    ...amountChanges(before, now, sides),
    ...timesChange(before, now),
    ...[
      ...fieldChanges(FIELDS, about, before, now),
      ...(areRepeated ? fieldChanges(REPEATED, about, before, now) : []),
    ].map((found) => (isRescue(now) ? { ...found, kind: "different" as const } : found)),
    ...textChanges(
      "dose-repeat-condition",
      `condition for repeating \`${now.name}\``,
      condition(before),
      condition(now),
    ),
    ...adjuvantChanges(before, now, sides),
  ];
}

/** A rescue drug helps: more of it and less of it are both for a person to judge. */
function isRescue({ agent }: Pick<Dose, "agent">): boolean {
  return agent?.kind?.value === "rescue";
}

/** More of any other drug is looser. */
function directionsFor(dose: Pick<Dose, "agent">, unit: string): Directions {
  const [moreIs, lessIs] = isRescue(dose)
    ? (["different", "different"] as const)
    : (["looser", "tighter"] as const);
  return { unit, more: "more", less: "less", moreIs, lessIs };
}

function amountChanges(before: Dose, now: Dose, sides: Sides): FoundChange[] {
  const { covered } = sides;
  const change = (part: "amount" | "rate" | "total", name: string, found: AmountDifference) => {
    const words = (one: Dose["amount"]) => (one ? amountWords(one.node) : NOT_STATED);
    const what = `${name} of \`${now.name}\` is ${words(now[part])} now; before, ${words(before[part])}.`;
    const told = { code: `dose-${part}` as const, about: aboutDose(now), what };
    return amountChange({ ...told, ...bothSides(before[part], now[part], words) }, found, isRescue(now));
  };
  return [
    ...change("amount", "The amount", amountFound(before, now, covered)),
    ...change("rate", "The rate", measured(before.rate, now.rate, now, covered)),
    ...change("total", "The total", totalFound(before, now, sides)),
  ];
}

/** A total ends an infusion. Where neither version runs at a rate it limits nothing, and whatever is written of it is wording. */
function totalFound(before: Dose, now: Dose, sides: Sides): AmountDifference {
  if (!before.rate && !now.rate) return {};
  const isOneSided = (before.total === undefined) !== (now.total === undefined);
  return isOneSided
    ? totalDifference(before, now, sides)
    : measured(before.total, now.total, now, sides.covered);
}

/** In the measure in which the later version writes it, where both can be told so; else in the other one. */
function amountFound(before: Dose, now: Dose, covered: Covered): AmountDifference {
  const [asMass, asVolume] = [
    () => inUnit(massUnitOf(now), before.mass, now.mass, now, covered),
    () => inUnit("mL", before.volume, now.volume, now, covered),
  ];
  // Only at the same strength are more millilitres more of the drug.
  const isVolume =
    now.amount?.dimension.volume !== undefined && meansTheSame(before.concentration, now.concentration);
  const found = isVolume ? (asVolume() ?? asMass()) : (asMass() ?? asVolume());
  if (found) return found;
  const isSame = meansTheSame([before.amount, before.mass], [now.amount, now.mass]);
  return isSame ? {} : { limit: NO_UNIT };
}

const NO_UNIT = "both amounts cannot be told in one unit";

function inUnit(
  unit: MassUnit | "mL",
  before: Expression | undefined,
  now: Expression | undefined,
  drug: Pick<Dose, "agent">,
  covered: Covered,
): AmountDifference | undefined {
  return before && now && amountDifference(before, now, covered, directionsFor(drug, unit));
}

/** Rates and totals; a rate that only one side has cannot be held against anything. */
function measured(before: Dose["rate"], now: Dose["rate"], dose: Dose, covered: Covered): AmountDifference {
  if (!before && !now) return {};
  if (!before || !now || !sameDimension(before.dimension, now.dimension)) {
    return { limit: "only one version states it, or in another measure" };
  }
  return amountDifference(before.expression, now.expression, covered, directionsFor(dose, unitOf(now)));
}

function unitOf(rate: NonNullable<Dose["rate"]>): string {
  const { dimension } = rate;
  return `${dimension.volume ? "mL" : massUnitOf({ rate })}${dimension.time ? "/h" : ""}`;
}

/** How often a dose is given again. */
function timesChange(before: Dose, now: Dose): FoundChange[] {
  const [old, recent] = [before.repeat, now.repeat];
  const more = (recent?.times ?? 0) - (old?.times ?? 0);
  if (more === 0) return [];
  const says =
    more > 0
      ? `Giving it ${timesText(recent)} is allowed now and was not before.`
      : `Giving it ${timesText(old)} was allowed before and is not now.`;
  return [
    {
      code: "dose-repeats",
      kind: isRescue(now) ? "different" : kindOf(more > 0, more < 0),
      about: aboutDose(now),
      what: `\`${now.name}\` is given ${timesText(recent)} now; before, ${timesText(old)}.`,
      ...bothSides(old, recent, timesText),
      evidence: [valueEvidence(more > 0, says)],
    },
  ];
}

function timesText(repeat: DoseRepeat | undefined): string {
  if (!repeat) return "once";
  return repeat.times === 1 ? "once more after the first" : `${repeat.times} times more after the first`;
}

/** The drugs that are mixed into a dose. */
function adjuvantChanges(before: Dose, now: Dose, { covered }: Sides): FoundChange[] {
  const about = aboutDose(now);
  const words = ({ amount }: Adjuvant) => (amount ? amountWords(amount.node) : NOT_STATED);
  return partedChanges(
    partedByKey(before.adjuvants, now.adjuvants, (one) => canonicalName(drugOf(one))),
    (old, recent) => {
      const what = `${drugOf(recent)} in \`${now.name}\` is ${words(recent)} now; before, ${words(old)}.`;
      const found = inUnit(massUnitMixedIn(recent), old.mass, recent.mass, recent, covered) ??
        inUnit("mL", old.volume, recent.volume, recent, covered) ?? { limit: NO_UNIT };
      const told: FoundChange = { code: "adjuvant-amount", about, what, ...bothSides(old, recent, words) };
      return amountChange(told, found, isRescue(recent));
    },
    (one, isNew) => ({
      code: isNew ? "adjuvant-added" : "adjuvant-removed",
      about,
      what: isNew
        ? `${drugOf(one)} is mixed into \`${now.name}\` now.`
        : `${drugOf(one)} is no longer mixed into \`${now.name}\`.`,
      ...oneSide(one, isNew, (mixed) => `with ${drugOf(mixed)}`),
    }),
  );
}

/**
 * Where only one version has a `total up to`: whether the other gives more than that in all without it. Where no run of the other comes
 * to it nothing is otherwise; where it runs on without an end nothing bounds it.
 */
function totalDifference(
  before: Dose,
  now: Dose,
  { before: old, now: recent, covered }: Sides,
): AmountDifference {
  const isGone = before.total !== undefined;
  const [bounded, free, protocol] = isGone ? [before, now, recent] : [now, before, old];
  const { total } = bounded;
  if (!total) return {};
  if (!covered.both) return { limit: NOBODY };
  const isVolume = total.dimension.volume === VOLUME.volume;
  const cap: Cap = {
    of: total.expression,
    unit: isVolume ? "mL" : massUnitOf({ amount: total }),
    isGone,
    side: directionsFor(now, "")[isGone ? "moreIs" : "lessIs"],
    box: covered.both,
  };
  const givings = givenWithout(free, protocol, isVolume ? "volume" : "mass");
  const found = givings ? beyond(cap, givings) : unbounded(cap);
  if (!found || "limit" in found) return found ?? {};
  return isGone ? { more: found } : { less: found };
}

interface Cap {
  readonly of: Expression;
  readonly unit: string;
  readonly isGone: boolean;
  readonly side: PatientsConcerned["side"];
  readonly box: Box;
}

/** All that runs give of the drug of a dose, for each way in which they give most; undefined where it has no bound. */
function givenWithout(
  { agent }: Dose,
  protocol: Protocol,
  measured: Measured,
): readonly Expression[] | undefined {
  const most = mostGiven(protocol);
  if ("limit" in most || !agent) return undefined;
  const totals = most.map((counts) => totalOf([agent], counts, protocol, measured));
  const known = totals.flatMap((one) => (one.kind === "total" ? [one.amount] : []));
  return known.length === totals.length ? known : undefined;
}

/** Undefined where nobody is given more than the bound. */
function beyond(
  cap: Cap,
  givings: readonly Expression[],
): PatientsConcerned | { readonly limit: string } | undefined {
  const answers = givings.map((given) => compare(given, "at-most", cap.of, cap.box));
  const broken = answers.find((one) => one.kind === "broken");
  if (broken?.kind === "broken") {
    const { regions, clean } = broken;
    return concerned(
      cap,
      clean.patient,
      amountText(clean.right, cap.unit),
      amountText(clean.left, cap.unit),
      whom(regions),
    );
  }
  const undecided = answers.find((one) => one.kind === "not-decided");
  return undecided?.kind === "not-decided" ? { limit: undecided.limit } : undefined;
}

/** Every patient is concerned; one is shown with the bound. */
function unbounded(cap: Cap): PatientsConcerned | { readonly limit: string } {
  const nothing: Expression = { kind: "constant", value: ZERO };
  const answer = compare(cap.of, "at-most", nothing, cap.box);
  if (answer.kind !== "broken") return { limit: "the most in all has no value for any patient" };
  const { patient, left } = answer.clean;
  return concerned(cap, patient, amountText(left, cap.unit), "no limit", {
    ranges: [],
    exact: true,
    everybody: true,
  });
}

function concerned(
  { isGone, side }: Cap,
  patient: Witness["patient"],
  bounded: string,
  free: string,
  patients: ReturnType<typeof whom>,
): PatientsConcerned {
  const direction = isGone ? "no longer bounded" : "bounded now";
  const [before, now] = isGone ? [bounded, free] : [free, bounded];
  return {
    kind: "patients",
    direction,
    side,
    ...patients,
    example: { patient: patientText(patient) || "every patient", before, now, difference: direction },
  };
}
