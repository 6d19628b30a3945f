import type { Constraint, TimedEdge, TimedSystem } from "../../../../../language/runs/zones/timed-system.ts";

const IDLE = 0;
const REQUESTING = 1;
const WAITING = 2;
const CRITICAL = 3;
/** Two binary digits. */
const KINDS = 4;
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

interface Step {
  readonly id: number;
  readonly to: number;
  /** Who is named afterwards; 0 is nobody. */
  readonly names: number;
  readonly guard: readonly Constraint[];
  readonly resets: readonly number[];
}

/** A process has the clock of its number. */
class Model {
  readonly #processes: number;
  readonly #asking: readonly Step[];
  readonly #naming: readonly Step[];
  readonly #entering: readonly Step[];
  readonly #leaving: readonly Step[];
  readonly #requesting: readonly Constraint[];
  readonly #invariants = new Map<number, readonly Constraint[]>();
  readonly #bounds = new Map<number, Int32Array>();

  constructor(processes: number) {
    const clocks = Array.from({ length: processes + 1 }, (_, clock) => clock);
    const step = (to: number, rest: (clock: number) => Partial<Step>): Step[] =>
      clocks.map((clock) => ({ id: clock, to, names: 0, guard: [], resets: [], ...rest(clock) }));
    this.#processes = processes;
    this.#asking = step(REQUESTING, (clock) => ({ resets: [clock] }));
    this.#naming = step(WAITING, (clock) => ({ names: clock, resets: [clock] }));
    this.#entering = step(CRITICAL, (clock) => ({
      names: clock,
      guard: [{ clock, kind: "over", limit: DELAY }],
    }));
    this.#leaving = step(IDLE, () => ({}));
    this.#requesting = clocks.map((clock) => ({ clock, kind: "at-most", limit: DELAY }));
  }

  edgesFrom(state: number): TimedEdge[] {
    const edges: TimedEdge[] = [];
    const whole = 1 << (2 * this.#processes);
    const named = Math.floor(state / whole);
    for (let process = 1, place = 1; process <= this.#processes; process += 1, place *= KINDS) {
      const standing = Math.floor(state / place) % KINDS;
      const next = this.#next(process, standing, named);
      if (next === undefined) continue;
      const target = state + (next.names - named) * whole + (next.to - standing) * place;
      edges.push({ id: next.id, target, guard: next.guard, resets: next.resets, isDecision: false });
    }
    return edges;
  }

  /** What a process does next where it stands, with this one named. */
  #next(process: number, standing: number, named: number): Step | undefined {
    if (standing === REQUESTING) return this.#naming[process];
    if (standing === CRITICAL) return this.#leaving[process];
    if (named === 0) return this.#asking[process];
    return standing === WAITING && named === process ? this.#entering[process] : undefined;
  }

  /** The same list for all states in which the same processes request. */
  invariantOf(state: number): readonly Constraint[] {
    const key = this.#standing(state, REQUESTING);
    const known = this.#invariants.get(key);
    if (known !== undefined) return known;
    const found = this.#requesting.filter(({ clock }) => (key & (1 << clock)) !== 0);
    this.#invariants.set(key, found);
    return found;
  }

  /** The constant for the clocks of processes that stand so, and none for the others. */
  boundsOf(state: number, kind: number): Int32Array {
    const key = this.#standing(state, kind);
    const known = this.#bounds.get(key);
    if (known !== undefined) return known;
    const found = Int32Array.from(this.#requesting, (_, clock) => ((key & (1 << clock)) === 0 ? -1 : DELAY));
    this.#bounds.set(key, found);
    return found;
  }

  /** Which processes stand so, a binary digit for each. */
  #standing(state: number, kind: number): number {
    let key = 0;
    for (let process = 1, rest = state; process <= this.#processes; process += 1) {
      if (rest % KINDS === kind) key |= 1 << process;
      rest = Math.floor(rest / KINDS);
    }
    return key;
  }
}
