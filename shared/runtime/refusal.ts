import type { BrokenRule } from "./broken.ts";

/** Why something that was offered is not what the protocol provides for now. */
export type Because =
  /** It would break rules. */
  | "breaks-a-rule"
  /** What it ends, or what it follows, has not lasted long enough. */
  | "too-early"
  /** Something else comes first. */
  | "not-next"
  /** Nothing answers that event or question here. */
  | "not-provided-for"
  /** It strikes a step, and none is in hand: the one before has ended, the next has not been said to start. */
  | "between-steps"
  /** It is said to have been before something that was said already. */
  | "in-the-past"
  /** The run is over. */
  | "over";

export interface Refusal {
  readonly because: Because;
  /** The rules that it would break. */
  readonly rules: readonly BrokenRule[];
  /** The time from which it is allowed, as long as nothing else happens; missing where waiting does not help. */
  readonly from?: number;
  /** The same for a reader. */
  readonly words: string;
}
