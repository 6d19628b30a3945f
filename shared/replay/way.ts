import type { State } from "../runtime/index.ts";
import type { Named } from "./known-events.ts";
import type { Asked, Moment, Term } from "./moment.ts";

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
