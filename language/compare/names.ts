import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol } from "../model/index.ts";
import { writtenText } from "./same.ts";

/** What names of a protocol stand for; each kind has names of its own. */
export const NAMED = ["cuff", "dose", "timer", "stage", "emergency"] as const;

export type Named = (typeof NAMED)[number];

/** For each kind, earlier names with what they are called now; those that stay are left out. */
export type Renaming = Readonly<Record<Named, ReadonlyMap<string, string>>>;

/** Something with a name of the author's own. */
interface Item {
  readonly name: string;
  readonly origin: Origin;
  /** What it says apart from names. */
  readonly says: string;
}

/** A name that was given up for another, with both places. */
export interface Renamed {
  readonly kind: Named;
  readonly before: Item;
  readonly now: Item;
}

/**
 * Finds what stayed the same under another name: what says the same and has no partner of its own name, what stands in
 * the same place of a list, or of what is left, when it is as much on either side.
 */
export function renamedBetween(before: Protocol, now: Protocol): Renamed[] {
  return NAMED.flatMap((kind) => {
    const pairs = kind === "cuff" ? inPlace : bestPairs;
    return pairs(itemsOf(before, kind), itemsOf(now, kind))
      .filter(([old, recent]) => old.name !== recent.name)
      .map(([old, recent]) => ({ kind, before: old, now: recent }));
  });
}

export function renamingOf(renamed: readonly Renamed[]): Renaming {
  const of = (kind: Named) =>
    new Map(renamed.filter((one) => one.kind === kind).map(({ before, now }) => [before.name, now.name]));
  return {
    cuff: of("cuff"),
    dose: of("dose"),
    timer: of("timer"),
    stage: of("stage"),
    emergency: of("emergency"),
  };
}

type Pair = readonly [before: Item, now: Item];

/** Cuffs are told apart by where they sit, proximal first. */
function inPlace(before: readonly Item[], now: readonly Item[]): Pair[] {
  if (before.length !== now.length) return bestPairs(before, now);
  return before.flatMap((item, at): Pair[] => {
    const other = now[at];
    return other ? [[item, other]] : [];
  });
}

function bestPairs(before: readonly Item[], now: readonly Item[]): Pair[] {
  const pairs: Pair[] = [];
  let [old, recent] = [[...before], [...now]];
  const take = (isPair: (a: Item, b: Item) => boolean) => {
    for (const item of [...old]) {
      const other = recent.find((one) => isPair(item, one));
      if (!other) continue;
      pairs.push([item, other]);
      old = old.filter((one) => one !== item);
      recent = recent.filter((one) => one !== other);
    }
  };
  const isOnly = (items: readonly Item[], says: string) =>
    items.filter((one) => one.says === says).length === 1;
  // What kept its name is never taken for something else, so that no name of the earlier text is given to another.
  take((a, b) => a.name === b.name);
  take((a, b) => a.says === b.says && isOnly(old, a.says) && isOnly(recent, b.says));
  take((a, b) => a.says === b.says);
  // As many of either side as are left: each is in the place of the other.
  if (old.length === recent.length) take(() => true);
  return pairs;
}

function itemsOf(protocol: Protocol, kind: Named): Item[] {
  switch (kind) {
    case "cuff":
      return (protocol.cuffs?.cuffs ?? []).map((cuff) => ({ ...cuff, says: writtenText(cuff.label) }));
    case "dose":
      return protocol.doses.map(
        ({ name, nameOrigin, agent, amount, over, repeat, rate, total, adjuvants }) => ({
          name,
          origin: nameOrigin,
          says: writtenText([agent?.name, amount, over, repeat, rate, total, adjuvants]),
        }),
      );
    case "timer":
      return protocol.timers.map(({ name, nameOrigin, from, atLeast, atMost }) => ({
        name,
        origin: nameOrigin,
        says: writtenText([from?.kind, atLeast, atMost]),
      }));
    case "stage":
      return stagesOf(protocol);
    case "emergency":
      return protocol.emergencies.map(({ name, nameOrigin, title, steps }) => ({
        name,
        origin: nameOrigin,
        says: writtenText([title, steps]),
      }));
  }
}

function stagesOf(protocol: Protocol): Item[] {
  const stages = [...allSteps(protocol)].flatMap((step) =>
    step.kind === "stage" ? [{ name: step.name, origin: step.origin, says: writtenText(step.steps) }] : [],
  );
  return [...new Map(stages.map((stage) => [stage.name, stage])).values()];
}
