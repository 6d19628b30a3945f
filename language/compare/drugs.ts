import { type Interval, intersect, isEmpty, quantityText } from "@limbwright/shared/quantity";
import { type Agent, agentsOf, canonicalName, type Maximum, massUnitOfAgent } from "../model/index.ts";
import { subtractRange } from "../population/bands.ts";
import type { Expression } from "../population/index.ts";
import { isVolumeLimit, limitExpression, limitText } from "../rules/facts/maximum.ts";
import { syringeText } from "../rules/facts/syringes.ts";
import type { PatientsConcerned } from "./comparison.ts";
import {
  type AmountDifference,
  amountChange,
  amountDifference,
  type Field,
  fieldChanges,
  NOBODY,
  NOT_STATED,
} from "./fields.ts";
import { anyOrder, meaningText } from "./same.ts";
import { bothSides, type Covered, type FoundChange, type Sides } from "./side.ts";

/** The drugs that both protocols use: what the formulary says of them. */
export function drugChanges({ before, now, covered }: Sides): FoundChange[] {
  const old = agentsOf(before);
  return agentsOf(now).flatMap((recent) => {
    const earlier = old.find(({ name }) => canonicalName(name) === canonicalName(recent.name));
    if (!earlier) return [];
    return [
      ...nameChange(earlier, recent),
      ...maximumChanges(earlier, recent, covered),
      ...fieldChanges(FIELDS, `drug \`${recent.name}\``, earlier, recent),
    ];
  });
}

function nameChange(before: Agent, now: Agent): FoundChange[] {
  if (before.name === now.name && before.title === now.title) return [];
  const told = ({ name, title }: Agent) => `${name}${title === undefined ? "" : ` “${title}”`}`;
  return [
    {
      code: "drug-name",
      kind: before.title === now.title ? "wording" : "needs-a-reader",
      about: `drug \`${now.name}\``,
      what: `\`${before.name}\` is written \`${told(now)}\` now; it is the same drug.`,
      ...bothSides(before, now, told),
    },
  ];
}

/** A plain property: it stands at the drug, whether or not it is stated. */
function property(
  code: Field<Agent>["code"],
  name: string,
  words: (agent: Agent) => string | undefined,
  key: (agent: Agent) => string = (agent) => words(agent) ?? NOT_STATED,
): Field<Agent> {
  return {
    code,
    name: (agent) => `${name} of \`${agent.name}\``,
    value: (agent) => ({ value: words(agent) ?? NOT_STATED, origin: agent.origin }),
    key,
  };
}

const FIELDS: readonly Field<Agent>[] = [
  property("drug-kind", "The kind", ({ kind }) => kind?.value),
  property("drug-atc", "The ATC code", ({ atc }) => atc?.value),
  property(
    "drug-concentration",
    "The concentration",
    ({ concentrations }) => concentrations.map(quantityText).sort().join(", ") || undefined,
    ({ concentrations }) => anyOrder(concentrations, meaningText),
  ),
  property(
    "drug-supply",
    "The supply",
    ({ supply }) => supply && `${quantityText(supply.concentration)} in ${quantityText(supply.volume)}`,
    ({ supply }) => meaningText(supply),
  ),
  property("drug-diluent", "The diluent", ({ diluent }) => diluent?.value),
  property(
    "drug-syringe",
    "The syringe",
    ({ syringe }) => syringe && syringeText(syringe),
    ({ syringe }) => meaningText(syringe),
  ),
  property("drug-plain", "That it is plain", ({ plain }) => plain && "stated"),
  property(
    "drug-preservative-free",
    "That it is free of preservatives",
    (one) => one.preservativeFree && "stated",
  ),
  {
    code: "drug-contraindication",
    name: ({ name }) => `contraindication of \`${name}\``,
    texts: ({ contraindicated }) => (contraindicated ? [contraindicated] : []),
  },
  {
    code: "drug-caution",
    name: ({ name }) => `caution of \`${name}\``,
    texts: ({ cautions }) =>
      cautions.map(({ text, group, origin }) => ({
        value: group === undefined ? text : `${text} (in ${group})`,
        origin,
      })),
  },
  { code: "drug-source", name: ({ name }) => `source of \`${name}\``, texts: ({ sources }) => sources },
];

/** The maxima as one limit for each patient, a mass and a volume apart. */
function maximumChanges(before: Agent, now: Agent, covered: Covered): FoundChange[] {
  return [massUnitOfAgent(now), "mL" as const].flatMap((unit) => {
    const of = ({ maxima }: Agent) => maxima.filter((one) => isVolumeLimit(one) === (unit === "mL"));
    const [old, recent] = [of(before), of(now)];
    const told = (maxima: readonly Maximum[]) => maxima.map(limitText).join(", ") || "none";
    const [first, second] = [old[0] ?? before.maxima[0], recent[0] ?? now.maxima[0]];
    return amountChange(
      {
        code: "drug-maximum",
        about: `maximum of \`${now.name}\``,
        what: `The maximum of \`${now.name}\` (${unit}) is ${told(recent)} now; before, ${told(old)}.`,
        ...bothSides(first, second, (one) => told(one === first ? old : recent)),
      },
      limitDifference(old, recent, covered, unit),
    );
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
    return isSame ? {} : { limit: NOBODY };
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
      .flatMap((range) => [intersect(range, by), ...subtractRange(range, by)])
      .filter((one) => !isEmpty(one));
  return maxima.reduce<Interval[]>((ranges, { ages }) => (ages ? cut(ranges, ages) : ranges), [covered]);
}

function lowest(maxima: readonly Maximum[], age: Interval): Expression | undefined {
  const [first, ...others] = maxima
    .filter(({ ages }) => !ages || !isEmpty(intersect(ages, age)))
    .map(limitExpression);
  return first && others.reduce((left, right): Expression => ({ kind: "lesser", left, right }), first);
}
