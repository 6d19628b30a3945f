import type { ClockCondition, State } from "../runtime/index.ts";
import { isMet } from "../runtime/machine.ts";
import type { Named } from "./known-events.ts";

/** From one place of a protocol to what a record tells next: what happens on it, and what it asks of the times. */
export interface Way {
  readonly moves: readonly Taken[];
  /** All of these are so where the protocol was followed. */
  readonly asks: readonly Ask[];
  /** The checks that are broken whatever the time. */
  readonly broken: readonly number[];
  readonly resets: readonly { readonly clock: number; readonly at: Moment }[];
  readonly target: State;
  /** The steps and answers that it passes over, which the record does not tell. */
  readonly leftOut: readonly Named[];
  /** What must have happened though nobody told it: the end of a task, the start of a step whose end is told. */
  readonly untold: readonly string[];
  /** The edge of what is told, by which its place in the text is found. */
  readonly edge: number;
}

export interface Taken {
  readonly edge: number;
  readonly at: Moment;
  /** It is passed over: the protocol goes on as if it had been done. */
  readonly passedOver: boolean;
}

/** `terms` are so; of a rule, which is broken when all are so, not all. */
export interface Ask {
  readonly asked: Asked;
  readonly terms: readonly Term[];
}

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
export interface Term extends Omit<ClockCondition, "clock"> {
  readonly from: number;
  readonly to: number;
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
  return isMet(term, lengthOf(term, began, now));
}

/** Whether the term is the same whatever the times are; undefined where it is not. */
export function constant(term: Term): boolean | undefined {
  return term.from === term.to ? isTrue(term, NO_CLOCKS, 0) : undefined;
}

const NO_CLOCKS = new Float64Array(256);

export function momentValue({ base, plus }: Moment, began: Float64Array, now: number): number {
  return (base === NOW ? now : (began[base] as number)) + plus;
}
