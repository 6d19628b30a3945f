import type { Origin } from "@limbwright/shared/finding";
import type { Protocol } from "../model/index.ts";
import type { Box } from "../population/index.ts";
import type { ProtocolJudgement } from "../rules/engine/judge.ts";
import type { Change, ChangedPart, ChangedSide, ChangeEvidence, ChangeKind, RaisedNumber } from "./change.ts";

/** One version of a protocol that was judged. */
export interface SideJudged {
  readonly protocol: Protocol;
  readonly judgement: ProtocolJudgement;
}

/** Two versions as the parts of the comparison read them: the earlier one speaks with the names of the later one. */
export interface Sides {
  readonly before: Protocol;
  readonly now: Protocol;
  readonly covered: Covered;
}

/** The same of either version. */
export interface Both<T> {
  readonly before: T;
  readonly now: T;
}

/** Whom the versions cover. */
export interface Covered {
  /** The patients whom both cover; undefined where there are none. */
  readonly both: Box | undefined;
  /** The patients whom the later one covers. */
  readonly now: Box;
}

/** A change as one part of the comparison finds it. */
export interface FoundChange {
  readonly kind: ChangeKind;
  readonly about: string;
  readonly what: string;
  readonly before?: ChangedSide;
  readonly now?: ChangedSide;
  readonly evidence?: readonly ChangeEvidence[];
  /** Another agent or concentration, or another order of steps: these ask for the first number as looser ones do. */
  readonly isOfFirstNumber?: boolean;
  /** It is about the standing of the document alone, or about the program that judges it: it asks for no number. */
  readonly isStanding?: boolean;
  readonly notDecided?: string;
}

export function changeOf(part: ChangedPart, found: FoundChange): Change {
  const { kind, about, what, before, now, evidence = [], notDecided } = found;
  return {
    kind,
    part,
    about,
    what,
    ...(before && { before }),
    ...(now && { now }),
    evidence,
    raises: raisedBy(found),
    ...(notDecided !== undefined && { notDecided }),
  };
}

function raisedBy({ kind, isOfFirstNumber, isStanding }: FoundChange): RaisedNumber {
  if (isStanding) return "none";
  if (kind === "looser" || isOfFirstNumber) return "first";
  return kind === "wording" ? "third" : "second";
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

/** Looser where there is anything looser: nothing is netted. */
export function kindOf(isLooser: boolean, isTighter: boolean): ChangeKind {
  if (isLooser) return "looser";
  return isTighter ? "tighter" : "different";
}
