import {
  canonicalName,
  MONITORS,
  type Monitor,
  type PrepareItem,
  type Protocol,
  quantityWords,
} from "../model/index.ts";
import { asksMore } from "./limits.ts";
import { partedByKey } from "./parted.ts";
import { bothSides, type FoundChange, kindOf, type Sides } from "./side.ts";
import { textChanges } from "./texts.ts";

const ABOUT = "readiness";

/** A run begins when all is in place, so none can show what is no longer asked for. */
const ONLY_ASKED = "It is the checklist that asks for it; no run does.";

/** One thing that has to be in place. */
interface Demand {
  readonly key: string;
  readonly says: string;
  readonly origin: PrepareItem["origin"];
}

/** What has to be in place before the first step. Less of it is looser. */
export function readinessChanges({ before, now }: Sides): FoundChange[] {
  const { pairs: _same, gone, added } = partedByKey(demandsOf(before), demandsOf(now), ({ key }) => key);
  const change = (isLooser: boolean, { says, origin }: Demand): FoundChange => ({
    kind: kindOf(isLooser, !isLooser),
    about: ABOUT,
    what: isLooser ? `${says} is no longer asked for.` : `${says} is asked for now, and was not before.`,
    ...(isLooser ? { before: { says, origin } } : { now: { says, origin } }),
    evidence: [
      {
        kind: "value",
        side: isLooser ? "looser" : "tighter",
        says: isLooser
          ? `The block may begin without it: ${says}. ${ONLY_ASKED}`
          : `The block may not begin without it: ${says}. ${ONLY_ASKED}`,
      },
    ],
  });
  return [
    ...gone.map((one) => change(true, one)),
    ...added.map((one) => change(false, one)),
    ...staffChange(before, now),
    ...intervalChange(before, now),
    ...textChanges("readiness item", textsOf(before), textsOf(now)),
  ];
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
  return [
    {
      kind: kindOf(is < was, is > was),
      about: ABOUT,
      what: `The number of staff asked for is ${is} now; before, ${was}.`,
      ...bothSides(old, recent, ({ count }) => `staff ${count}`),
      evidence: [
        {
          kind: "value",
          side: is < was ? "looser" : "tighter",
          says:
            is < was
              ? `A staff of ${is} is enough now and was not before. ${ONLY_ASKED}`
              : `A staff of ${was} is no longer enough. ${ONLY_ASKED}`,
        },
      ],
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
      ? `Readings of ${monitor} ${told(old)} are no longer enough. ${ONLY_ASKED}`
      : `Readings of ${monitor} ${told(recent)} are enough now and were not before. ${ONLY_ASKED}`;
    return [
      {
        kind: kindOf(!isTighter, isTighter),
        about: ABOUT,
        what: `Readings of ${monitor} are taken ${told(recent)} now; before, ${told(old)}.`,
        ...bothSides(old, recent, told),
        evidence: [{ kind: "value", side: isTighter ? "tighter" : "looser", says }],
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
