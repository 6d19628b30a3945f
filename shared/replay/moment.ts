import type { ClockCondition } from "../runtime/index.ts";

/**
 * A time in a case that is not known yet while its ways are worked out: `plus` seconds after a clock last began to count, or
 * the time of the event that is told now (`base` is NOW).
 */
export interface Moment {
  readonly base: number;
  readonly plus: number;
}

export const NOW = -1;
export const AT_NOW: Moment = { base: NOW, plus: 0 };

/** What a comparison of two times is about. */
export type Asked =
  /** It has to be so, or this is not what happened. */
  | { readonly kind: "order" }
  /** A step has to last so long. */
  | { readonly kind: "early"; readonly edge: number }
  /** Something has to be over by then; the first `grace` seconds after it are let pass. */
  | { readonly kind: "late"; readonly edge: number; readonly grace: number }
  /** All the terms of one check together break a rule. */
  | { readonly kind: "rule"; readonly check: number };

/** Whether from one time to another so much passes. */
export interface Term {
  readonly from: number;
  readonly to: number;
  readonly is: ClockCondition["is"];
  readonly seconds: number;
}

/** "`condition` is so at `at`", where its clock began at `began`. */
export function termOf({ is, seconds }: ClockCondition, began: Moment, at: Moment): Term {
  return { from: began.base, to: at.base, is, seconds: seconds + began.plus - at.plus };
}

/** What the term says for clocks that began so. `began` holds, behind all clocks, when the last thing happened. */
export function lengthOf({ from, to }: Term, began: Float64Array, now: number): number {
  return (to === NOW ? now : (began[to] as number)) - (from === NOW ? now : (began[from] as number));
}

export function isTrue(term: Term, began: Float64Array, now: number): boolean {
  const length = lengthOf(term, began, now);
  switch (term.is) {
    case "at-least":
      return length >= term.seconds;
    case "at-most":
      return length <= term.seconds;
    case "under":
      return length < term.seconds;
    case "over":
      return length > term.seconds;
  }
}

/** Whether the term is the same whatever the times are; undefined where it is not. */
export function constant(term: Term): boolean | undefined {
  return term.from === term.to ? isTrue(term, NO_CLOCKS, 0) : undefined;
}

const NO_CLOCKS = new Float64Array(256);

export function momentValue({ base, plus }: Moment, began: Float64Array, now: number): number {
  return (base === NOW ? now : (began[base] as number)) + plus;
}
