import type { Origin, RunEvidence } from "@limbwright/shared/finding";
import {
  CHANGE_KINDS,
  type ChangeCode,
  type ChangedPart,
  type ChangeKind,
  type RaisedNumber,
} from "./codes.ts";

/** One side of a change: what stands there, in words, and where. */
export interface ChangedSide {
  readonly says: string;
  readonly origin: Origin;
}

/** One change between two versions of a protocol. */
export interface Change {
  readonly kind: ChangeKind;
  /** Which kind of change it is, by the name that programs ask for. */
  readonly code: ChangeCode;
  readonly part: ChangedPart;
  /** What it is about, in the author's names: "dose `local`", "timer `hold`", "drug `lidocaine`". */
  readonly about: string;
  /** What is otherwise: a sentence. */
  readonly what: string;
  /** Missing where the earlier version has nothing of it, or it has no place of its own. */
  readonly before?: ChangedSide;
  readonly now?: ChangedSide;
  readonly evidence: readonly ChangeEvidence[];
  readonly raises: RaisedNumber;
  /** Why the analyses could not decide what it allows or forbids; the kind is then `different`. */
  readonly notDecided?: string;
}

/** What shows that a change is what it is said to be. */
export type ChangeEvidence = PatientsConcerned | RunConcerned | ValueConcerned;

/** For whom an amount, a limit or the whole protocol is otherwise. Numbers are written out with their units. */
export interface PatientsConcerned {
  readonly kind: "patients";
  /** "more", "less", "covered now", "no longer covered", "higher", "lower". */
  readonly direction: string;
  readonly side: "looser" | "tighter" | "different";
  readonly ranges: readonly string[];
  /** Whether the ranges are exactly the patients concerned, or only enclose them. */
  readonly exact: boolean;
  readonly everybody: boolean;
  /** A patient in round numbers, with what either version says of them. */
  readonly example?: PatientExample;
  /** The patient with the greatest difference, where it is another one. */
  readonly greatest?: PatientExample;
}

export interface PatientExample {
  readonly patient: string;
  readonly before: string;
  readonly now: string;
  /** The difference in words: "20 mg more". */
  readonly difference: string;
}

/**
 * A run that one version allows and the other does not. It was followed through the runtime of both, but for a run that shows
 * the earliest or the latest release: that none of the other releases then is known of all its runs.
 */
export interface RunConcerned {
  readonly kind: "run";
  readonly side: "gained" | "lost";
  /** Up to the moment at which the versions part. */
  readonly run: RunEvidence;
  /** What the other version says to its last line: "Before, this could begin only at 35:00." */
  readonly other: string;
}

/** A value that one version lets pass and the other does not. */
export interface ValueConcerned {
  readonly kind: "value";
  readonly side: "looser" | "tighter";
  /** "A margin of 80 mmHg passes now and did not before." */
  readonly says: string;
  /** A run up to the moment of which it speaks. */
  readonly run?: RunEvidence;
}

/** What one version of a protocol is called and where it stands. */
export interface ComparedVersion {
  readonly name: string;
  readonly title?: string;
  readonly version?: string;
  readonly status?: string;
  readonly origin: Origin;
  /** The rule file in which it is kept, where it is not read from its text. */
  readonly ruleFile?: string;
  /** "sha256:…", where the protocol is whole enough to have one. */
  readonly meaning?: string;
}

/** Something that could not be compared. Beside one of these nothing is said to be unchanged. */
export interface NotCompared {
  readonly side: "before" | "now" | "both";
  readonly limit: string;
  readonly origin?: Origin;
}

/** A time over all runs, in either version: "earliest release after the injection", "30:00", "20:00". */
export interface ComparedTime {
  readonly what: string;
  readonly before: string;
  readonly now: string;
  readonly kind: "same" | "looser" | "tighter" | "not-decided";
}

/** Whether the version was raised as the changes ask. A version that is missing was not raised; a draft is judged like any other. */
export interface VersionRaise {
  readonly before?: string;
  readonly now?: string;
  /** The number that the changes ask to be raised. */
  readonly needed: RaisedNumber;
  readonly raised: RaisedNumber | "lowered";
  readonly isEnough: boolean;
}

/** Two versions of one protocol, or a protocol that only one side has. */
export interface ProtocolComparison {
  readonly protocol: string;
  /** `nothing`: no change was found and everything was compared. `not-decided`: not everything could be compared. */
  readonly outcome: "nothing" | "changed" | "not-decided" | "added" | "removed";
  readonly before?: ComparedVersion;
  readonly now?: ComparedVersion;
  /** Sorted: by kind, then in the order of `CHANGED_PARTS` and of the text. */
  readonly changes: readonly Change[];
  readonly notCompared: readonly NotCompared[];
  readonly times: readonly ComparedTime[];
  readonly version: VersionRaise;
}

/** How many changes there are of each kind. */
export type ChangeCounts = Readonly<Record<ChangeKind, number>>;

/** Two versions of a file, a folder or a whole site. */
export interface SiteComparison {
  /** In the order of their names. */
  readonly protocols: readonly ProtocolComparison[];
  /** Files and texts that could not be read or paired, and other limits that belong to no one protocol. */
  readonly notCompared: readonly NotCompared[];
}

/** What each kind of change is called. */
export const KIND_WORDS: Readonly<Record<ChangeKind, string>> = {
  "no-longer-safe": "no longer safe",
  looser: "looser",
  different: "different",
  tighter: "tighter",
  "needs-a-reader": "needs a reader",
  wording: "wording",
};

export function countsOf(changes: readonly Change[]): ChangeCounts {
  const count = (kind: ChangeKind) => changes.filter((change) => change.kind === kind).length;
  return Object.fromEntries(CHANGE_KINDS.map((kind) => [kind, count(kind)])) as ChangeCounts;
}

/** "2 looser, 1 tighter, 1 needs a reader"; empty when there is no change. */
export function countsText(changes: readonly Change[]): string {
  const counts = countsOf(changes);
  return CHANGE_KINDS.filter((kind) => counts[kind] > 0)
    .map(
      (kind) =>
        `${counts[kind]} ${kind === "needs-a-reader" && counts[kind] > 1 ? "need a reader" : KIND_WORDS[kind]}`,
    )
    .join(", ");
}

/** Whether anything about a protocol was not compared or not decided. */
export function isUndecided({ outcome, changes, notCompared, times }: ProtocolComparison): boolean {
  return (
    outcome === "not-decided" ||
    notCompared.length > 0 ||
    changes.some(({ notDecided }) => notDecided !== undefined) ||
    times.some(({ kind }) => kind === "not-decided")
  );
}
