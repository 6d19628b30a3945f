import type { Origin, RunEvidence } from "@limbwright/shared/finding";

/**
 * What a change does to a protocol. `looser`: a patient, a run or a value is allowed that was not. `tighter`: one is no
 * longer allowed. `different`: neither can be said, or both sides cannot be held against each other. `needs-a-reader`: a
 * text changed that a person has to judge. `wording`: something is written otherwise and means the same.
 *
 * Where a change is both looser and tighter it is `looser`, and shows both: nothing is netted.
 */
export type ChangeKind = "looser" | "tighter" | "different" | "needs-a-reader" | "wording";

/** From the one that most needs to be looked at. */
export const CHANGE_KINDS: readonly ChangeKind[] = [
  "looser",
  "different",
  "tighter",
  "needs-a-reader",
  "wording",
];

/** Which number of a version a change asks to be raised: 1 in 1.4.0 is the first. `none`: the standing of a document alone. */
export type RaisedNumber = "first" | "second" | "third" | "none";

/** The part of a protocol that changed, in the order in which changes are told. */
export type ChangedPart =
  | "document"
  | "indication"
  | "patients"
  | "drug"
  | "dose"
  | "cuffs"
  | "timer"
  | "readiness"
  | "steps"
  | "runs"
  | "emergency"
  | "requirement"
  | "local-rules"
  | "verdict";

/** One side of a change: what stands there, in words, and where. */
export interface ChangedSide {
  readonly says: string;
  readonly origin: Origin;
}

/** One change between two versions of a protocol. */
export interface Change {
  readonly kind: ChangeKind;
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
