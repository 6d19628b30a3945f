import type { LinePlace } from "../finding/index.ts";
import type { RuleFile } from "../rule-file/generated/rule-file.ts";
import type { BrokenRule } from "../runtime/index.ts";

/** How a case left its protocol. */
export type DeviationKind =
  | "patient"
  | "contraindicated"
  | "too-early"
  | "too-late"
  | "breaks-rule"
  | "wrong-order"
  | "left-out"
  | "not-in-protocol"
  | "unplanned-release"
  | "dose"
  | "pressure";

/** One slip: what follows from it stands with it, and is none of its own. */
export interface Deviation {
  readonly kind: DeviationKind;
  /** The step, event, dose or measure, in the words of the protocol. */
  readonly what: string;
  /** When, in seconds from the first event of the case; missing for what has no time. */
  readonly at?: number;
  /** The line of the record. */
  readonly line: number;
  /** By how much, where that can be said. */
  readonly by?: { readonly value: string; readonly unit: "s" | "mg" | "mL" | "mm[Hg]" };
  /** The rules that it broke. */
  readonly rules: readonly BrokenRule[];
  /** The steps that were left out, or that should have come before. */
  readonly steps?: readonly string[];
  /** Rules that were broken later, and would not have been without this. */
  readonly ledTo: readonly Consequence[];
  /** The line of the protocol. */
  readonly place?: LinePlace;
  /** The same for a reader. */
  readonly words: string;
}

export interface Consequence extends BrokenRule {
  readonly at: number;
  readonly line: number;
}

/** Where a part of a rule file is written. */
export function placeOf({ origins, sources }: RuleFile, pointer: string): LinePlace | undefined {
  const origin = (origins as Record<string, { source: number; start: { line: number } } | undefined>)[
    pointer
  ];
  const source = origin && sources[origin.source];
  return origin && source && { file: source.file, line: origin.start.line };
}

/** Why a case, or a part of it, could not be judged. */
export interface CaseNotJudged {
  readonly because:
    | "no-event"
    | "unreadable-rows"
    | "times-not-comparable"
    | "clock-jump"
    | "record-ends"
    | "other-protocol"
    | "measure-not-given"
    | "measure-not-clear"
    | "not-answered"
    | "dose-not-recorded"
    | "came-late";
  readonly words: string;
  readonly line?: number;
}

/** What was done with rows that are not as they should be. */
export interface Note {
  readonly kind: NoteKind;
  readonly count: number;
  /** The lines of the record, the first hundred of them. */
  readonly lines: readonly number[];
}

export type NoteKind =
  | "duplicate"
  | "out-of-order"
  | "mixed-times"
  | "clock-went-back"
  | "clock-jump"
  | "untold"
  | "end-again"
  | "no-time"
  | "unknown-event"
  | "unknown-value"
  | "no-case"
  | "broken-row"
  | "cut-off-row"
  | "not-utf-8"
  | "new-header"
  | "other-format"
  | "identifying"
  | "came-late";

export interface CaseReport {
  readonly case: string;
  /** The line of its first row. */
  readonly line: number;
  readonly events: number;
  readonly outcome: "as-written" | "deviates" | "not-judged";
  readonly deviations: readonly Deviation[];
  /** Not empty where something could not be judged, also beside deviations. */
  readonly notJudged: readonly CaseNotJudged[];
  readonly notes: readonly Note[];
}
