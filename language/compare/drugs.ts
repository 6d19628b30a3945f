import { type Interval, intersection, isEmpty } from "@limbwright/shared/quantity";
import {
  type Agent,
  canonicalName,
  type Maximum,
  type Protocol,
  quantityWords,
  usedAgents,
} from "../model/index.ts";
import { difference } from "../population/bands.ts";
import type { Expression } from "../population/index.ts";
import { isVolumeLimit, limitExpression, limitText } from "../rules/facts/maximum.ts";
import { type AmountDifference, amountDifference, evidenceIn } from "./amounts.ts";
import type { PatientsConcerned } from "./change.ts";
import { anyOrder, meaningText } from "./same.ts";
import { bothSides, type Covered, type FoundChange, kindOf, type Sides } from "./side.ts";
import { textChange, textChanges } from "./texts.ts";

/** The drugs that both protocols use: what the formulary says of them. */
export function drugChanges({ before, now, covered }: Sides): FoundChange[] {
  return usedByBoth(before, now).flatMap(([old, recent]) => [
    ...nameChange(old, recent),
    ...maximumChanges(old, recent, covered),
    ...propertyChanges(old, recent),
    ...textChange(`contraindication of \`${recent.name}\``, old.contraindicated, recent.contraindicated),
    ...textChanges(`caution of \`${recent.name}\``, cautionsOf(old), cautionsOf(recent)),
    ...textChanges(`source of \`${recent.name}\``, old.sources, recent.sources),
  ]);
}

/** Whether two drugs are one, in either of two accepted names. */
export function isSameDrug(a: Agent | undefined, b: Agent | undefined): boolean {
  return a !== undefined && b !== undefined && canonicalName(a.name) === canonicalName(b.name);
}

function usedByBoth(before: Protocol, now: Protocol): (readonly [Agent, Agent])[] {
  const old = usedAgents(before);
  return usedAgents(now).flatMap((agent) => {
    const earlier = old.find((one) => isSameDrug(one, agent));
    return earlier ? [[earlier, agent] as const] : [];
  });
}

function aboutDrug({ name }: Agent): string {
  return `drug \`${name}\``;
}

function nameChange(before: Agent, now: Agent): FoundChange[] {
  if (before.name === now.name && before.title === now.title) return [];
  const told = ({ name, title }: Agent) => `${name}${title === undefined ? "" : ` “${title}”`}`;
  return [
    {
      kind: before.title === now.title ? "wording" : "needs-a-reader",
      about: aboutDrug(now),
      what: `\`${before.name}\` is written \`${told(now)}\` now; it is the same drug.`,
      ...bothSides(before, now, told),
    },
  ];
}

function cautionsOf({ cautions }: Agent) {
  return cautions.map(({ text, group, origin }) => ({
    value: group === undefined ? text : `${text} (in ${group})`,
    origin,
  }));
}

function propertyChanges(before: Agent, now: Agent): FoundChange[] {
  const about = aboutDrug(now);
  const change = (name: string, old: string, recent: string, isOfFirstNumber = false): FoundChange[] =>
    old === recent
      ? []
      : [
          {
            kind: "different",
            about,
            what: `${name} of \`${now.name}\` is ${recent} now; before, ${old}.`,
            ...bothSides(before, now, (one) => (one === before ? old : recent)),
            isOfFirstNumber,
          },
        ];
  const concentrations = (agent: Agent) =>
    agent.concentrations.map(quantityWords).sort().join(", ") || NOT_SAID;
  const isSameStrength =
    anyOrder(before.concentrations, meaningText) === anyOrder(now.concentrations, meaningText);
  const supply = (agent: Agent) =>
    agent.supply
      ? `${quantityWords(agent.supply.concentration)} in ${quantityWords(agent.supply.volume)}`
      : NOT_SAID;
  const yesNo = (place: unknown) => (place === undefined ? "not stated" : "stated");
  return [
    ...change("The kind", before.kind?.value ?? NOT_SAID, now.kind?.value ?? NOT_SAID, true),
    ...change("The ATC code", before.atc?.value ?? NOT_SAID, now.atc?.value ?? NOT_SAID, true),
    ...(isSameStrength ? [] : change("The concentration", concentrations(before), concentrations(now), true)),
    ...(meaningText(before.supply) === meaningText(now.supply)
      ? []
      : change("The supply", supply(before), supply(now))),
    ...change("The diluent", before.diluent?.value ?? NOT_SAID, now.diluent?.value ?? NOT_SAID),
    ...change("That it is plain", yesNo(before.plain), yesNo(now.plain)),
    ...change(
      "That it is free of preservatives",
      yesNo(before.preservativeFree),
      yesNo(now.preservativeFree),
    ),
  ];
}

const NOT_SAID = "not stated";

/** The maxima as one limit for each patient, a mass and a volume apart. */
function maximumChanges(before: Agent, now: Agent, covered: Covered): FoundChange[] {
  return (["mg", "mL"] as const).flatMap((unit) => {
    const of = ({ maxima }: Agent) => maxima.filter((one) => isVolumeLimit(one) === (unit === "mL"));
    const [old, recent] = [of(before), of(now)];
    const told = (maxima: readonly Maximum[]) => maxima.map(limitText).join(", ") || "none";
    const found = limitDifference(old, recent, covered, unit);
    const evidence = evidenceIn(found);
    if (evidence.length === 0 && found.limit === undefined && !found.forOthers) return [];
    const [first, second] = [old[0] ?? before.maxima[0], recent[0] ?? now.maxima[0]];
    return [
      {
        kind: found.forOthers
          ? "needs-a-reader"
          : found.limit !== undefined && !found.more
            ? "different"
            : kindOf(found.more !== undefined, found.less !== undefined),
        about: `maximum of \`${now.name}\``,
        what: `The maximum of \`${now.name}\` (${unit}) is ${told(recent)} now; before, ${told(old)}.`,
        ...bothSides(first, second, (one) => told(one === first ? old : recent)),
        evidence,
        ...(found.limit !== undefined && { notDecided: found.limit, isOfFirstNumber: true }),
      },
    ];
  });
}

/** Cut at every age at which some maximum begins or ends; a patient without one has no limit. */
function limitDifference(
  before: readonly Maximum[],
  now: readonly Maximum[],
  { both: box, now: covered }: Covered,
  unit: string,
): AmountDifference {
  if (!box) {
    const isSame = anyOrder(before, meaningText) === anyOrder(now, meaningText);
    return isSame ? {} : { limit: "no patient is covered by both versions" };
  }
  const parts = agesOf([...before, ...now], box.age ?? {}).map((age) =>
    differenceAt(age, before, now, { both: box, now: covered }, unit),
  );
  const more = parts.flatMap((part) => part.more ?? [])[0];
  const less = parts.flatMap((part) => part.less ?? [])[0];
  const limit = parts.flatMap((part) => part.limit ?? [])[0];
  const forOthers = !more && !less && limit === undefined && parts.some((part) => part.forOthers);
  return {
    ...(more && { more }),
    ...(less && { less }),
    ...(limit !== undefined && { limit }),
    ...(forOthers && { forOthers }),
  };
}

/** The same for ages between which no maximum begins or ends. */
function differenceAt(
  age: Interval,
  before: readonly Maximum[],
  now: readonly Maximum[],
  covered: Required<Covered>,
  unit: string,
): AmountDifference {
  const [old, recent] = [lowest(before, age), lowest(now, age)];
  const ofAge = age.lower || age.upper ? { age } : {};
  if (old && recent) {
    const there = { both: { ...covered.both, ...ofAge }, now: { ...covered.now, ...ofAge } };
    return amountDifference(old, recent, there, { unit, ...RISING });
  }
  if (!old && !recent) return {};
  const everybody: PatientsConcerned = {
    kind: "patients",
    direction: recent ? "limited now" : "without a maximum now",
    side: recent ? "tighter" : "looser",
    ranges: ["every patient of these ages"],
    exact: true,
    everybody: true,
  };
  return recent ? { less: everybody } : { more: everybody };
}

const RISING = { more: "higher", less: "lower", moreIs: "looser", lessIs: "tighter" } as const;

function agesOf(maxima: readonly Maximum[], covered: Interval): Interval[] {
  const cut = (ranges: readonly Interval[], by: Interval) =>
    ranges
      .flatMap((range) => [intersection(range, by), ...difference(range, by)])
      .filter((one) => !isEmpty(one));
  return maxima.reduce<Interval[]>((ranges, { ages }) => (ages ? cut(ranges, ages) : ranges), [covered]);
}

function lowest(maxima: readonly Maximum[], age: Interval): Expression | undefined {
  const [first, ...others] = maxima
    .filter(({ ages }) => !ages || !isEmpty(intersection(ages, age)))
    .map(limitExpression);
  return first && others.reduce((left, right): Expression => ({ kind: "lesser", left, right }), first);
}
