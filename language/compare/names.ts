import type { Origin } from "@limbwright/shared/finding";
import { type FormType, formOf, type Parts, partOf } from "@limbwright/shared/rule-file";
import { allSteps, type CuffChoice, type Protocol } from "../model/index.ts";
import { pairedBy } from "./pairing.ts";
import { writtenText } from "./same.ts";

/** What names of a protocol stand for; each kind has names of its own. */
const NAMED = ["cuff", "dose", "timer", "stage", "emergency"] as const;

type KindOfName = (typeof NAMED)[number];

/** For each kind, earlier names with what they are called now; those that stay are left out. */
type Renaming = ReadonlyMap<string, ReadonlyMap<string, string>>;

/** Something with a name of the author's own. */
interface Item {
  readonly name: string;
  readonly origin: Origin;
  /** What it says apart from names. */
  readonly says: string;
}

/** A name that was given up for another, with both places. */
export interface Renamed {
  readonly kind: KindOfName;
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

function renamingOf(renamed: readonly Renamed[]): Renaming {
  const of = (kind: KindOfName) =>
    new Map(renamed.filter((one) => one.kind === kind).map(({ before, now }) => [before.name, now.name]));
  return new Map(NAMED.map((kind) => [kind, of(kind)]));
}

type Pair = readonly [before: Item, now: Item];

/** Cuffs are told apart by where they sit, proximal first. */
function inPlace(before: readonly Item[], now: readonly Item[]): readonly Pair[] {
  if (before.length !== now.length) return bestPairs(before, now);
  return before.flatMap((item, at): Pair[] => {
    const other = now[at];
    return other ? [[item, other]] : [];
  });
}

function bestPairs(before: readonly Item[], now: readonly Item[]): readonly Pair[] {
  const isOnly = (items: readonly Item[], says: string) =>
    items.filter((one) => one.says === says).length === 1;
  return pairedBy(
    before,
    now,
    // What kept its name is never taken for something else, so that no name of the earlier text is given to another.
    (a, b) => a.name === b.name,
    (a, b, { gone, added }) => a.says === b.says && isOnly(gone, a.says) && isOnly(added, b.says),
    (a, b) => a.says === b.says,
    // As many of either side as are left: each is in the place of the other.
    (_a, _b, { gone, added }) => gone.length === added.length,
  ).pairs;
}

function itemsOf(protocol: Protocol, kind: KindOfName): Item[] {
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

/** The protocol with its own names as they are called now. Places stay those of the earlier text. */
export function renamedProtocol(protocol: Protocol, renamed: readonly Renamed[]): Protocol {
  if (renamed.length === 0) return protocol;
  return renamedPart("Protocol", protocol, renamingOf(renamed)) as Protocol;
}

type Fields = Readonly<Record<string, unknown>>;

/** A part of the model, whose fields are called as those of a rule file that hold names. */
function renamedPart(name: keyof Parts, model: unknown, renaming: Renaming): unknown {
  const part = formOf(name);
  if (!NAMED.some((kind) => part.names.includes(kind))) return model;
  if (name === "CuffReference") return renamedTo(renaming, "cuff", model);
  if (name === "CuffChoice") {
    const choice = model as CuffChoice;
    return choice.kind === "all" ? choice : { ...choice, name: renamedTo(renaming, "cuff", choice.name) };
  }
  const fields = model as Fields;
  if (part.is === "choice") return renamedPart(partOf(part.of, fields), model, renaming);
  if (part.is !== "fields") return model;
  const renamed = Object.entries(part.fields).flatMap(([key, { type }]) =>
    fields[key] === undefined ? [] : [[key, renamedType(type, fields[key], fields, renaming)]],
  );
  return { ...fields, ...Object.fromEntries(renamed) };
}

function renamedType(type: FormType, value: unknown, fields: Fields, renaming: Renaming): unknown {
  switch (type.is) {
    case "part":
      return renamedPart(type.part, value, renaming);
    case "list":
      return Array.isArray(value) ? value.map((one) => renamedType(type.of, one, fields, renaming)) : value;
    case "name":
      return renamedTo(renaming, type.kind ?? String(fields[type.by ?? ""]), value);
    case "value":
    case "boolean":
    case "map":
      return value;
  }
}

function renamedTo(renaming: Renaming, kind: string, name: unknown): unknown {
  return renaming.get(kind)?.get(String(name)) ?? name;
}
