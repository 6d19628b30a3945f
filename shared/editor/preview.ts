import type { LinePlace, RunLine, Severity, Verdict } from "../finding/index.ts";

/** What a preview shows of the protocol that stands at a place of a text. Answered with `null` where there is none. */
export const PREVIEW = "limbwright/preview";

export interface PreviewAsked {
  readonly uri: string;
  readonly position: { readonly line: number; readonly character: number };
  /** A patient whose figures are asked for, as typed: digits with a point. Not for use on a patient. */
  readonly patient?: Readonly<Partial<Record<PreviewMeasureName, string>>>;
}

export type PreviewMeasureName = "weight" | "age" | "systolic" | "circumference";

/** A stretch of a text, lines and characters counted from 0. */
export interface TextRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

export interface PreviewModel {
  readonly uri: string;
  readonly protocol: string;
  readonly title?: string;
  readonly range: TextRange;
  /** `stale`: the text has changed since its runs were gone through; findings over runs and times are from before, or missing. */
  readonly state: "holds" | "broken" | "not-decided" | "stale";
  readonly words: string;
  /** The name of the text in every place below. */
  readonly file: string;
  /** The URI of every file that places name. */
  readonly files: Readonly<Record<string, string>>;
  /** The worst first, then in the order of the text. */
  readonly findings: readonly PreviewFinding[];
  readonly verdicts: readonly Verdict[];
  /** The times over all runs, in words; missing while they are not known. */
  readonly timesSay?: string;
  /** The runs that break a rule, and those with the earliest and the latest release. */
  readonly runs: PreviewPart<readonly PreviewRun[]>;
  readonly curves: PreviewPart<readonly PreviewPicture[]>;
  readonly sheet: PreviewPart<PreviewSheet>;
  readonly patient: PreviewPatient;
  /** To be shown with it. */
  readonly caution: string;
}

export interface PreviewFinding {
  readonly severity: Severity;
  readonly rule: string;
  /** What is wrong, for whom, why it matters, what to do next: complete sentences. */
  readonly says: readonly string[];
  readonly place: LinePlace;
  readonly related: readonly { readonly place: LinePlace; readonly note: string }[];
  /** The picture of the run that shows it, by its id. */
  readonly run?: string;
  readonly isAccepted: boolean;
  /** Found before the last change of the text. */
  readonly isStale: boolean;
}

/**
 * A part of what is shown. While `shown` is missing it is not known for the text as it stands, and whatever was shown before
 * is old; `because` says why it is missing, or what is missing in it.
 */
export interface PreviewPart<Shown> {
  readonly shown?: Shown;
  readonly because?: string;
}

/** A picture as SVG. Its marks have `data-file` and `data-line`; every text of the protocol is escaped in it. */
export interface PreviewPicture {
  /** Begins every id in the picture. */
  readonly id: string;
  readonly title: string;
  readonly svg: string;
}

export interface PreviewRun extends PreviewPicture {
  readonly kind: "earliest" | "latest" | "breaks-a-rule";
  /** The same in words, shortly. */
  readonly lines: readonly PreviewRunLine[];
  readonly isStale: boolean;
}

export interface PreviewRunLine {
  /** From the beginning of the run: "5:00". */
  readonly time: string;
  readonly what: string;
  /** What is so from then on, where that matters; else empty. */
  readonly after: string;
  readonly place?: LinePlace;
}

/** The bedside sheet as it prints: HTML with `data-file` and `data-line`, and the style sheet of its page. */
export interface PreviewSheet {
  readonly html: string;
  readonly style: string;
}

/** The figures for one patient: exact, rounded as in the dose table. */
export interface PreviewPatient {
  /** What is to be typed. */
  readonly measures: readonly {
    readonly name: PreviewMeasureName;
    readonly unit: string;
    /** Whom the protocol covers: "45 to 130 kg". */
    readonly covered?: string;
    /** What is wrong with what was typed. */
    readonly fault?: string;
  }[];
  /** Why there are no figures, or what is not known of the patient. */
  readonly amiss?: string;
  readonly rows: readonly {
    readonly name: string;
    readonly of: string;
    readonly purpose: string;
    readonly place: LinePlace;
    readonly figures: readonly { readonly label: string; readonly text: string }[];
    readonly isOver: boolean;
    /** Why there is no figure. */
    readonly because?: string;
  }[];
}

/** The run that breaks a rule, to be stepped through: the run of a finding that stands at a range, by its rule. */
export const RUN = "limbwright/run";

/**
 * The command of the code action at a finding with a run, with what `RUN` is asked as its argument. It is the client's; the
 * action is offered where the client says `canStepThroughRuns` when it starts.
 */
export const STEP_THROUGH_COMMAND = "limbwright.stepThroughRun";

export interface RunAsked {
  readonly uri: string;
  readonly rule: string;
  readonly range: TextRange;
}

/** `null` is answered where no such finding stands there, or none with a run. */
export interface RunToStepThrough {
  readonly rule: string;
  readonly what: string;
  /** Whether the text has changed since it was found. */
  readonly isStale: boolean;
  readonly steps: readonly RunStepShown[];
  readonly caution: string;
}

export interface RunStepShown extends Omit<RunLine, "origin"> {
  /** The step's place in the text, if it has one. */
  readonly place?: { readonly uri: string; readonly range: TextRange };
}
