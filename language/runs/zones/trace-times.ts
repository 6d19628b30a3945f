import type { Leg } from "./path.ts";
import type { Constraint, TimedSystem } from "./timed-system.ts";

/** A bound on the difference of two clocks; clock 0 is always 0. */
export interface DifferenceBound {
  readonly clock: number;
  readonly minus: number;
  readonly limit: number;
  readonly strict: boolean;
}

export interface TraceTimes {
  /** When each edge is taken, from the start on: whole numbers where possible, else exact binary fractions. */
  readonly times: readonly number[];
  /** When what was asked of the ending is true first; the time of the last edge when nothing was. */
  readonly end: number;
}

/**
 * The earliest times at which the path can be taken: no other solution has any edge earlier. A strict bound
 * takes the next whole number; when whole numbers do not solve the path, halves are tried, then quarters, and
 * so on. `ending` bounds the clocks at some instant after the last edge. Undefined when no run takes the path.
 */
export function traceTimes(
  system: TimedSystem,
  legs: readonly Leg[],
  ending?: readonly DifferenceBound[],
): TraceTimes | undefined {
  const instants = legs.length + (ending === undefined ? 1 : 2);
  const arcs = new PathConstraints(system, legs, ending).arcs;
  // Bounds that can be met at all leave a slack of 1 on each cycle, which passes each instant once: steps finer
  // than one in so many instants leave room for every strict bound on it.
  for (let parts = 1; parts <= 2 * instants; parts *= 2) {
    const solution = leastSolution(arcs, instants, parts);
    if (solution === undefined) continue;
    const times = solution.map((steps) => steps / parts);
    return { times: times.slice(1, legs.length + 1), end: times[instants - 1] ?? 0 };
  }
  return undefined;
}

/** Instant `to` comes at least `delay` after instant `from`, or later than that. */
interface Arc {
  readonly from: number;
  readonly to: number;
  readonly delay: number;
  readonly strict: boolean;
}

/** Instant 0 is the start, instant n the n-th edge. */
class PathConstraints {
  readonly arcs: Arc[] = [];
  readonly #system: TimedSystem;
  /** By clock, when it was last 0. */
  readonly #zeroAt: number[];

  constructor(system: TimedSystem, legs: readonly Leg[], ending: readonly DifferenceBound[] | undefined) {
    this.#system = system;
    this.#zeroAt = new Array<number>(system.clockCount + 1).fill(0);
    let state = system.initial;
    let passed = -1;
    this.#demandAll(0, system.invariantOf(state));
    legs.forEach(({ edge, passed: next }, index) => {
      const instant = index + 1;
      this.#wait(state, passed, instant);
      this.#demandAll(instant, edge.guard);
      for (const clock of edge.resets) this.#zeroAt[clock] = instant;
      state = edge.target;
      passed = next;
      this.#enter(state, passed, instant);
    });
    if (ending !== undefined) this.#end(state, passed, legs.length + 1, ending);
  }

  /** Time from the instant before, up to this one, passes in the state. */
  #wait(state: number, passed: number, instant: number): void {
    this.arcs.push({ from: instant - 1, to: instant, delay: 0, strict: false });
    const timePasses = passed < 0 && !this.#system.isUrgent(state);
    if (timePasses) {
      this.#demandAll(instant, this.#system.invariantOf(state));
      this.#demandAll(instant, this.#system.deadlinesOf(state));
    } else {
      this.arcs.push({ from: instant, to: instant - 1, delay: 0, strict: false });
    }
  }

  #enter(state: number, passed: number, instant: number): void {
    this.#demandAll(instant, this.#system.invariantOf(state));
    if (this.#system.isUrgent(state)) return;
    const deadlines = this.#system.deadlinesOf(state);
    this.#demandAll(instant, passed < 0 ? deadlines : deadlines.slice(0, passed));
    const missed = passed < 0 ? undefined : deadlines[passed];
    if (missed !== undefined) this.#demand(instant, { ...missed, kind: "over" });
  }

  #end(state: number, passed: number, instant: number, ending: readonly DifferenceBound[]): void {
    this.#wait(state, passed, instant);
    this.#zeroAt[0] = instant;
    for (const { clock, minus, limit, strict } of ending) {
      this.arcs.push({ from: this.#zeroOf(minus), to: this.#zeroOf(clock), delay: -limit, strict });
    }
  }

  #demandAll(instant: number, constraints: readonly Constraint[]): void {
    for (const constraint of constraints) this.#demand(instant, constraint);
  }

  #demand(instant: number, { clock, kind, limit }: Constraint): void {
    const zero = this.#zeroOf(clock);
    const strict = kind === "under" || kind === "over";
    const isFromAbove = kind === "at-most" || kind === "under";
    this.arcs.push(
      isFromAbove
        ? { from: instant, to: zero, delay: -limit, strict }
        : { from: zero, to: instant, delay: limit, strict },
    );
  }

  #zeroOf(clock: number): number {
    return this.#zeroAt[clock] ?? 0;
  }
}

/** The longest way to each instant, in steps of one part of a whole. Undefined when some way goes round for ever. */
function leastSolution(arcs: readonly Arc[], instants: number, parts: number): number[] | undefined {
  const times = new Array<number>(instants).fill(0);
  for (let round = 0; round <= instants; round += 1) {
    if (!moveLater(times, arcs, parts)) return times[0] === 0 ? times : undefined;
  }
  return undefined;
}

/** Moves instants that come too early to where one arc allows them, once for each arc. False when none did. */
function moveLater(times: number[], arcs: readonly Arc[], parts: number): boolean {
  let changed = false;
  for (const { from, to, delay, strict } of arcs) {
    const time = (times[from] ?? 0) + delay * parts + (strict ? 1 : 0);
    if (time > (times[to] ?? 0)) {
      times[to] = time;
      changed = true;
    }
  }
  return changed;
}
