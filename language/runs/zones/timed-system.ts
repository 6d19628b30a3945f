/**
 * A condition on one clock. Clocks count from 1; limits are whole numbers, not negative, in the unit of the
 * client (the runs of a protocol count seconds).
 */
export interface Constraint {
  readonly clock: number;
  readonly kind: "at-most" | "under" | "at-least" | "over";
  readonly limit: number;
}

const OPPOSITE = { "at-most": "over", over: "at-most", "at-least": "under", under: "at-least" } as const;

/** Holds exactly when the condition does not. */
export function opposite({ clock, kind, limit }: Constraint): Constraint {
  return { clock, kind: OPPOSITE[kind], limit };
}

/** A step that takes no time: the guard is read first, then the clocks are reset, then the target is entered. */
export interface TimedEdge {
  /** The client's own number, given back in traces. */
  readonly id: number;
  /** A discrete state. */
  readonly target: number;
  readonly guard: readonly Constraint[];
  readonly resets: readonly number[];
  /** Whether a run pays for it: runs with the fewest decisions are found first. */
  readonly isDecision: boolean;
}

/**
 * A timed automaton that is unfolded as it is explored. Discrete states are numbers from 0 on; they may be
 * made as they are found. All clocks start at 0 and advance together.
 */
export interface TimedSystem {
  /** Without the reference clock. */
  readonly clockCount: number;
  readonly initial: number;
  /** Asked whenever a state is gone on from, and the same each time; states may be made as they are found. */
  readonly edgesFrom: (state: number) => readonly TimedEdge[];
  /** Hard: must hold on entering and all through the wait. `at-most` and `under` only. */
  readonly invariantOf: (state: number) => readonly Constraint[];
  /**
   * Soft (urgency as a property of the location): time passes only up to these limits; whoever enters past
   * one of them may stay, but no time passes. `at-most` only.
   */
  readonly deadlinesOf: (state: number) => readonly Constraint[];
  /** No time passes here at all. */
  readonly isUrgent: (state: number) => boolean;
  /**
   * Local bounds for extrapolation: the largest constant a clock is compared with from below (guards
   * `at-least`, `over`; deadlines) before it is next reset, counted from entering this state. -1: never
   * compared. A clock with -1 here and among the upper bounds is dropped. The index is the clock; [0] is unused.
   */
  readonly lowerBoundsOf: (state: number) => Int32Array;
  /** The same from above (guards `at-most`, `under`; invariants; deadlines). */
  readonly upperBoundsOf: (state: number) => Int32Array;
}
