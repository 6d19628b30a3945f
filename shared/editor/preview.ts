import type { Finding, RunLine, Verdict } from "../finding/index.ts";

/** What a preview shows of the protocol that stands at a place of a text. Answered with `null` where there is none. */
export const PREVIEW = "limbwright/preview";

export interface PreviewAsked {
  readonly uri: string;
  readonly position: { readonly line: number; readonly character: number };
}

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
  readonly findings: readonly Finding[];
  readonly verdicts: readonly Verdict[];
  /** Over all runs, in seconds; missing while it is not known. A latest or longest that is missing has no limit. */
  readonly times?: {
    readonly release?: { readonly earliest: number; readonly latest?: number };
    readonly occlusion?: { readonly shortest: number; readonly longest?: number };
  };
  /** Each dose for some patients of the protocol, in words. */
  readonly doses: readonly {
    readonly name: string;
    readonly samples: readonly { readonly patient: string; readonly amount: string }[];
  }[];
  /** To be shown with it. */
  readonly caution: string;
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
