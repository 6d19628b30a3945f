import type { Finding, Origin } from "@limbwright/shared/finding";
import type { Protocol } from "../model/index.ts";
import type { Box } from "../population/index.ts";
import type { ProtocolJudgement } from "../rules/engine/judge.ts";
import type { RunDifference } from "../runs/index.ts";
import { type ChangeCode, type ChangedPart, type ChangeKind, kindOfCode, knownChange } from "./codes.ts";
import type { Change, ChangedSide, ChangeEvidence } from "./comparison.ts";
import type { CompiledVersion } from "./compiled-version.ts";
import type { Likeness } from "./likeness.ts";
import type { Renamed } from "./names.ts";
import type { Parted } from "./pairing.ts";

/** One version of a protocol that was judged; of one that is kept as its rule file also what was judged of it then. */
export interface SideJudged {
  readonly protocol: Protocol;
  readonly judgement: ProtocolJudgement;
  readonly compiled?: CompiledVersion;
}

/** A judged version with what was found wrong in the texts it is made from. */
export interface ComparedSideJudged extends SideJudged {
  readonly inTheText: readonly Finding[];
}

/** The same of either version. */
export interface Both<T> {
  readonly before: T;
  readonly now: T;
}

/** Two versions of a protocol: the earlier one speaks with the names of the later one. */
export interface Sides extends Both<Protocol> {
  readonly covered: Covered;
}

/** All that the parts of the comparison read. */
export interface Comparing extends Sides {
  readonly judged: Both<SideJudged>;
  readonly renamed: readonly Renamed[];
  readonly likeness?: Likeness;
  readonly isCancelled?: () => boolean;
  readonly difference: RunsCompared;
  /** The changes of the steps, decided by the runs. */
  readonly ofSteps: readonly FoundChange[];
  /** Whether not everything could be compared. */
  readonly isPartial: boolean;
}

/** What is known of the runs of two versions; `missing` where one of them has no runs to go through. */
export type RunsCompared =
  | (RunDifference & {
      /** Whether a step or a handler of either text can come in a run at all: only then do runs decide on it. */
      readonly isInSomeRun: (side: "before" | "now", origin: Origin) => boolean;
    })
  | { readonly kind: "missing"; readonly limit: string };

/** Whom the versions cover. */
export interface Covered {
  /** The patients whom both cover; undefined where there are none. */
  readonly both: Box | undefined;
  /** The patients whom the later one covers. */
  readonly now: Box;
}

/** A change as one part of the comparison finds it. */
export interface FoundChange {
  readonly code: ChangeCode;
  readonly about: string;
  readonly what: string;
  /** If not said, the first that its code can be of. */
  readonly kind?: ChangeKind;
  /** Where it is told of another part than others of its code. */
  readonly part?: ChangedPart;
  readonly before?: ChangedSide;
  readonly now?: ChangedSide;
  readonly evidence?: readonly ChangeEvidence[];
  /** It asks for the first number, of whatever kind it is. */
  readonly isOfFirstNumber?: boolean;
  readonly notDecided?: string;
}

export function changeOf({ isOfFirstNumber, ...found }: FoundChange): Change {
  const { code, about, what, before, now, evidence = [], notDecided } = found;
  const known = knownChange(code);
  const { kind = known.kinds[0]?.kind ?? "different", part = known.part } = found;
  const of = kindOfCode(code, kind);
  if (!of) throw new Error(`no change of the code ${code} is ${kind}`);
  return {
    kind,
    code,
    part,
    about,
    what,
    ...(before && { before }),
    ...(now && { now }),
    evidence,
    raises: isOfFirstNumber ? "first" : of.raises,
    ...(notDecided !== undefined && { notDecided }),
  };
}

/** Both places of something, with what it says there. */
export function bothSides<T extends { readonly origin: Origin }>(
  before: T | undefined,
  now: T | undefined,
  says: (one: T) => string,
): Pick<Change, "before" | "now"> {
  return {
    ...(before && { before: { says: says(before), origin: before.origin } }),
    ...(now && { now: { says: says(now), origin: now.origin } }),
  };
}

/** The place of what only one side has. */
export function oneSide<T extends { readonly origin: Origin }>(
  one: T,
  isNew: boolean,
  says: (one: T) => string,
): Pick<Change, "before" | "now"> {
  return isNew ? bothSides(undefined, one, says) : bothSides(one, undefined, says);
}

/** Looser where there is anything looser: nothing is netted. */
export function kindOf(isLooser: boolean, isTighter: boolean): ChangeKind {
  if (isLooser) return "looser";
  return isTighter ? "tighter" : "different";
}

/** What is otherwise in two lists: in each pair, and of each that only one side has. */
export function partedChanges<T>(
  { pairs, gone, added }: Parted<T>,
  ofPair: (before: T, now: T) => readonly FoundChange[],
  ofOne: (one: T, isNew: boolean) => FoundChange,
): FoundChange[] {
  return [
    ...pairs.flatMap(([old, recent]) => ofPair(old, recent)),
    ...gone.map((one) => ofOne(one, false)),
    ...added.map((one) => ofOne(one, true)),
  ];
}
