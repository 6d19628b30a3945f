import {
  canonicalName,
  MONITORS,
  type Monitor,
  type PrepareItem,
  type Protocol,
  quantityWords,
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
      one?.every ? `every ${quantityWords(one.every)}` : "without a stated interval";
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
