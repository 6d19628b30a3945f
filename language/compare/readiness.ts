import { quantityText, sameDimension } from "@limbwright/shared/quantity";
import {
  type AmountAtHand,
  canonicalName,
  MONITORS,
  type Monitor,
  type PrepareItem,
  type Protocol,
  type WrittenQuantity,
} from "../model/index.ts";
import { asksMore, textChanges, valueEvidence } from "./fields.ts";
import { partedByKey } from "./pairing.ts";
import { bothSides, type FoundChange, kindOf, oneSide, partedChanges, type Sides } from "./side.ts";

const ABOUT = "readiness";

/** One thing that has to be in place. */
interface Demand {
  readonly key: string;
  readonly says: string;
  readonly origin: PrepareItem["origin"];
}

/** What has to be in place before the first step. Less of it is looser. */
export function readinessChanges({ before, now }: Sides): FoundChange[] {
  return [
    ...partedChanges(
      partedByKey(demandsOf(before), demandsOf(now), ({ key }) => key),
      () => [],
      (demand, isNew) => {
        const { says } = demand;
        return {
          code: "readiness-item",
          kind: kindOf(!isNew, isNew),
          about: ABOUT,
          what: isNew ? `${says} is asked for now, and was not before.` : `${says} is no longer asked for.`,
          ...oneSide(demand, isNew, () => says),
          evidence: [asked(!isNew, `The block may ${isNew ? "not begin" : "begin"} without it: ${says}.`)],
        };
      },
    ),
    ...amountChanges(before, now),
    ...staffChange(before, now),
    ...intervalChange(before, now),
    ...textChanges("readiness-text", "readiness item", textsOf(before), textsOf(now)),
  ];
}

/** A run begins when all is in place, so none can show what is no longer asked for. */
function asked(isLooser: boolean, says: string) {
  return valueEvidence(isLooser, `${says} It is the checklist that asks for it; no run does.`);
}

function itemsOf({ preparation }: Protocol): readonly PrepareItem[] {
  return preparation?.items ?? [];
}

function demandsOf(protocol: Protocol): Demand[] {
  return itemsOf(protocol).flatMap(demandsOfItem);
}

function demandsOfItem(item: PrepareItem): Demand[] {
  const { origin } = item;
  switch (item.kind) {
    case "iv-access":
      return [{ key: `access ${item.place}`, says: `Venous access in the ${item.place}`, origin }];
    case "monitoring":
      return item.monitors.map((one) => ({ key: `monitor ${one}`, says: `Monitoring by ${one}`, origin }));
    case "at-hand":
      return item.agents.map(({ name }) => ({
        key: `at hand ${canonicalName(name)}`,
        says: `${name} at hand`,
        origin,
      }));
    case "site-marked":
      return [{ key: "site", says: "The marked site", origin }];
    case "staff":
    case "text":
      return [];
  }
}

function textsOf(protocol: Protocol) {
  return itemsOf(protocol).flatMap((item) => {
    const { origin } = item;
    if (item.kind === "text") return [{ value: item.text, origin }];
    return item.kind === "at-hand" ? item.texts.map((value) => ({ value, origin })) : [];
  });
}

/** How much of a drug lies ready; nothing is said of it where no amount is. */
function amountsOf(protocol: Protocol): readonly AmountAtHand[] {
  return itemsOf(protocol).flatMap((item) => (item.kind === "at-hand" ? (item.amounts ?? []) : []));
}

function amountChanges(before: Protocol, now: Protocol): FoundChange[] {
  const keyOf = ({ agent }: AmountAtHand) => canonicalName(agent?.name ?? "");
  const [old, recent] = [amountsOf(before), amountsOf(now)];
  return [...new Set([...old, ...recent].map(keyOf))].flatMap((key) => {
    const [was, is] = [old, recent].map((list) => list.find((one) => keyOf(one) === key)?.amount);
    // A mass that takes the place of a volume may be less, as far as anybody can tell.
    const isTighter = areAlike(was, is) ? asksMore("higher", was, is) : false;
    if (isTighter === undefined) return [];
    const told = (amount: typeof was) => (amount ? quantityText(amount) : "without an amount");
    const less = isTighter ? was : is;
    return [
      {
        code: "readiness-amount" as const,
        kind: kindOf(!isTighter, isTighter),
        about: ABOUT,
        what: `${key} at hand is ${told(is)} now; before, ${told(was)}.`,
        ...bothSides(was, is, told),
        evidence: [
          asked(
            !isTighter,
            `${less ? quantityText(less) : "Any amount"} is ${isTighter ? "no longer enough" : "enough now and was not before"}.`,
          ),
        ],
      },
    ];
  });
}

/** Whether both are a mass or both a volume, or one is missing. */
function areAlike(a: WrittenQuantity | undefined, b: WrittenQuantity | undefined): boolean {
  return !a || !b || sameDimension(a.unit.dimension, b.unit.dimension);
}

function staffOf(protocol: Protocol) {
  return itemsOf(protocol).flatMap((item) => (item.kind === "staff" ? [item] : []))[0];
}

function staffChange(before: Protocol, now: Protocol): FoundChange[] {
  const [old, recent] = [staffOf(before), staffOf(now)];
  const [was, is] = [old?.count ?? 0, recent?.count ?? 0];
  if (was === is) return [];
  const says =
    is < was
      ? `A staff of ${is} is enough now and was not before.`
      : `A staff of ${was} is no longer enough.`;
  return [
    {
      code: "readiness-staff",
      kind: kindOf(is < was, is > was),
      about: ABOUT,
      what: `The number of staff asked for is ${is} now; before, ${was}.`,
      ...bothSides(old, recent, ({ count }) => `staff ${count}`),
      evidence: [asked(is < was, says)],
    },
  ];
}

/** How often each monitor is read, the most often that is written. */
function intervalChange(before: Protocol, now: Protocol): FoundChange[] {
  return MONITORS.flatMap((monitor) => {
    const [old, recent] = [readingOf(before, monitor), readingOf(now, monitor)];
    const isTighter = old && recent ? asksMore("lower", old.every, recent.every) : undefined;
    if (isTighter === undefined) return [];
    const told = (one: typeof old) =>
      one?.every ? `every ${quantityText(one.every)}` : "without a stated interval";
    const says = isTighter
      ? `Readings of ${monitor} ${told(old)} are no longer enough.`
      : `Readings of ${monitor} ${told(recent)} are enough now and were not before.`;
    return [
      {
        code: "readiness-interval" as const,
        kind: kindOf(!isTighter, isTighter),
        about: ABOUT,
        what: `Readings of ${monitor} are taken ${told(recent)} now; before, ${told(old)}.`,
        ...bothSides(old, recent, told),
        evidence: [asked(!isTighter, says)],
      },
    ];
  });
}

function readingOf(protocol: Protocol, monitor: Monitor) {
  const readings = itemsOf(protocol).flatMap((item) =>
    item.kind === "monitoring" && item.monitors.includes(monitor) ? [item] : [],
  );
  return readings.find((one) =>
    readings.every((other) => asksMore("lower", one.every, other.every) !== true),
  );
}
