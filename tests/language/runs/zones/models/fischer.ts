import type { Constraint, TimedEdge, TimedSystem } from "../../../../../language/runs/zones/timed-system.ts";

const IDLE = 0;
const REQUESTING = 1;
const WAITING = 2;
const CRITICAL = 3;
/** Two binary digits. */
const KINDS = 4;
const NONE: readonly never[] = [];
/** How long a request may take, and how long is waited for it to be overruled. */
const DELAY = 10;

/**
 * Fischer's mutual exclusion (standard in the field, from memory): processes share one variable, which names
 * one of them or nobody. A process that finds nobody named requests, names itself within 10, waits for over
 * 10, and enters its critical section if it is still the one named; else it may start over.
 *
 * A discrete state is who is named, followed by where each process stands, as digits.
 */
export function fischer(processes: number): TimedSystem {
  const model = new Model(processes);
  return {
    clockCount: processes,
    initial: 0,
    edgesFrom: (state) => model.edgesFrom(state),
    invariantOf: (state) => model.invariantOf(state),
    deadlinesOf: () => [],
    isUrgent: () => false,
    lowerBoundsOf: (state) => model.boundsOf(state, WAITING),
    upperBoundsOf: (state) => model.boundsOf(state, REQUESTING),
  };
}

/** Whether two processes are in their critical sections at once, which never happens. */
export function isBroken(processes: number, state: number): boolean {
  let critical = 0;
  for (let process = 1; process <= processes; process += 1) {
    if (Math.floor(state / KINDS ** (process - 1)) % KINDS === CRITICAL) critical += 1;
  }
  return critical > 1;
}

/** A process has the clock of its number. */
class Model {
  readonly #processes: number;
  readonly #resets: readonly number[][];
  readonly #waited: readonly Constraint[][];
  readonly #requesting: readonly Constraint[];
  readonly #invariants = new Map<number, readonly Constraint[]>();

  constructor(processes: number) {
    const clocks = Array.from({ length: processes + 1 }, (_, clock) => clock);
    this.#processes = processes;
    this.#resets = clocks.map((clock) => [clock]);
    this.#waited = clocks.map((clock) => [{ clock, kind: "over", limit: DELAY }]);
    this.#requesting = clocks.map((clock) => ({ clock, kind: "at-most", limit: DELAY }));
  }

  edgesFrom(state: number): TimedEdge[] {
    const edges: TimedEdge[] = [];
    const whole = 1 << (2 * this.#processes);
    const named = Math.floor(state / whole);
    for (let process = 1, place = 1; process <= this.#processes; process += 1, place *= KINDS) {
      const standing = Math.floor(state / place) % KINDS;
      const add = (
        name: number,
        to: number,
        guard: readonly Constraint[],
        resets: readonly number[],
      ): void => {
        const target = state + (name - named) * whole + (to - standing) * place;
        edges.push({ id: process * KINDS + to, target, guard, resets, isDecision: false });
      };
      const resets = this.#resets[process] ?? NONE;
      if (standing === REQUESTING) add(process, WAITING, NONE, resets);
      else if (standing === CRITICAL) add(0, IDLE, NONE, NONE);
      else if (named === 0) add(0, REQUESTING, NONE, resets);
      else if (named === process && standing === WAITING) {
        add(named, CRITICAL, this.#waited[process] ?? NONE, NONE);
      }
    }
    return edges;
  }

  /** The same list for all states in which the same processes request. */
  invariantOf(state: number): readonly Constraint[] {
    const requesting: Constraint[] = [];
    let key = 0;
    for (let process = 1, rest = state; process <= this.#processes; process += 1) {
      const constraint = this.#requesting[process];
      if (rest % KINDS === REQUESTING && constraint !== undefined) {
        requesting.push(constraint);
        key += 2 ** process;
      }
      rest = Math.floor(rest / KINDS);
    }
    const known = this.#invariants.get(key);
    if (known === undefined) this.#invariants.set(key, requesting);
    return known ?? requesting;
  }

  /** The constant for the clocks of processes that stand so. */
  boundsOf(state: number, kind: number): Int32Array {
    const bounds = new Int32Array(this.#processes + 1).fill(-1);
    for (let process = 1, rest = state; process <= this.#processes; process += 1) {
      if (rest % KINDS === kind) bounds[process] = DELAY;
      rest = Math.floor(rest / KINDS);
    }
    return bounds;
  }
}
