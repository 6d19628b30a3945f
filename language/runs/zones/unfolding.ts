import { bound, MOST_VALUE } from "./bound.ts";
import type { Constraint, TimedEdge, TimedSystem } from "./timed-system.ts";
import { FREE } from "./zone.ts";

/** Sums of a few limits stay clear of the greatest value: over a year in seconds. */
const MOST_LIMIT = MOST_VALUE >> 3;

/** How clocks are forgotten: see `extrapolate`. With `none` only clocks that are never compared are dropped. */
export type Extrapolation = "lower-upper" | "maximal" | "none";

/** A discrete state as the search works on it. Only clocks that are still compared are kept, in their order. */
export interface Place {
  /** Places count from 0 in the order in which they are made. */
  readonly index: number;
  readonly state: number;
  /** The system's clocks by their index in the zones of this place; [0] is the reference clock. */
  readonly clocks: readonly number[];
  readonly size: number;
  /** For extrapolation, by index. */
  readonly lower: Int32Array;
  readonly upper: Int32Array;
  readonly timePasses: boolean;
  /** Invariants and deadlines as pairs of index and bound: as far as time passes when no deadline is past. */
  readonly limits: Int32Array;
  /** Deadlines as pairs of index and bound. None where no time passes anyhow. */
  readonly deadlines: Int32Array;
}

/** An edge between two places. */
export interface Move {
  readonly edge: TimedEdge;
  readonly target: Place;
  /** Row, column and bound, by the source's indexes: the guard, and what the target's invariant asks before the resets. */
  readonly guard: Int32Array;
  /** For `carryOver`, from the source's zones to the target's. */
  readonly origins: Int32Array;
}

/** The places and moves of a system, made when they are first asked for. */
export class Unfolding {
  readonly #system: TimedSystem;
  readonly #extrapolation: Extrapolation;
  readonly #withTotalTime: boolean;
  readonly #places = new Map<number, Place>();
  readonly #moves = new Map<Place, readonly Move[]>();

  constructor(system: TimedSystem, extrapolation: Extrapolation, withTotalTime: boolean) {
    this.#system = system;
    this.#extrapolation = extrapolation;
    this.#withTotalTime = withTotalTime;
  }

  /** The total time as a clock of the system: one more than it has. */
  get totalTimeClock(): number {
    return this.#system.clockCount + 1;
  }

  get initial(): Place {
    return this.place(this.#system.initial);
  }

  place(state: number): Place {
    const known = this.#places.get(state);
    if (known !== undefined) return known;
    const place = this.#newPlace(state);
    this.#places.set(state, place);
    return place;
  }

  moves(place: Place): readonly Move[] {
    const known = this.#moves.get(place);
    if (known !== undefined) return known;
    const moves = this.#system.edgesFrom(place.state).flatMap((edge) => this.#move(place, edge) ?? []);
    this.#moves.set(place, moves);
    return moves;
  }

  /** Whether a run can start here, with all clocks at 0. */
  isOpen(place: Place): boolean {
    return this.#system.invariantOf(place.state).every((constraint) => !isImpossibleAtZero(constraint));
  }

  #newPlace(state: number): Place {
    const given = { lower: this.#system.lowerBoundsOf(state), upper: this.#system.upperBoundsOf(state) };
    const clocks = [0];
    for (let clock = 1; clock <= this.#system.clockCount; clock += 1) {
      if (boundOf(given.lower, clock) >= 0 || boundOf(given.upper, clock) >= 0) clocks.push(clock);
    }
    const lower = clocks.map((clock) => (clock === 0 ? 0 : this.#lowerOf(given, clock)));
    const upper = clocks.map((clock) => (clock === 0 ? 0 : this.#upperOf(given, clock)));
    if (this.#withTotalTime) {
      // Only its least value is asked for: it counts as compared from above with anything, from below never.
      clocks.push(this.totalTimeClock);
      lower.push(-1);
      upper.push(MOST_VALUE);
    }
    const timePasses = !this.#system.isUrgent(state);
    const invariant = this.#system.invariantOf(state);
    const deadlines = timePasses ? this.#system.deadlinesOf(state) : [];
    checkFarEnough(state, invariant, given);
    checkFarEnough(state, deadlines, given);
    checkFarEnough(state, deadlines.map(asLower), given);
    return {
      index: this.#places.size,
      state,
      clocks,
      size: clocks.length,
      lower: Int32Array.from(lower),
      upper: Int32Array.from(upper),
      timePasses,
      limits: pairs(clocks, [...invariant, ...deadlines]),
      deadlines: pairs(clocks, deadlines),
    };
  }

  #lowerOf({ lower, upper }: Bounds, clock: number): number {
    const own = boundOf(lower, clock);
    return this.#extrapolation === "maximal" ? Math.max(own, boundOf(upper, clock)) : own;
  }

  #upperOf({ lower, upper }: Bounds, clock: number): number {
    const own = boundOf(upper, clock);
    return this.#extrapolation === "maximal" ? Math.max(own, boundOf(lower, clock)) : own;
  }

  /** Undefined for an edge whose target cannot be entered after its resets. */
  #move(source: Place, edge: TimedEdge): Move | undefined {
    const target = this.place(edge.target);
    const invariant = this.#system.invariantOf(edge.target);
    if (invariant.some((one) => edge.resets.includes(one.clock) && isImpossibleAtZero(one))) return undefined;
    const asked = [...edge.guard, ...invariant.filter((one) => !edge.resets.includes(one.clock))];
    const given = {
      lower: this.#system.lowerBoundsOf(source.state),
      upper: this.#system.upperBoundsOf(source.state),
    };
    checkFarEnough(source.state, asked, given);
    this.#checkCarried(source, edge, given);
    const origins = target.clocks.map((clock) => {
      if (edge.resets.includes(clock)) return 0;
      const origin = source.clocks.indexOf(clock);
      return origin < 0 ? FREE : origin;
    });
    return { edge, target, guard: triples(source.clocks, asked), origins: Int32Array.from(origins) };
  }

  /** What a clock is compared with after the edge, it is compared with before, unless the edge resets it. */
  #checkCarried(source: Place, edge: TimedEdge, given: Bounds): void {
    const lower = this.#system.lowerBoundsOf(edge.target);
    const upper = this.#system.upperBoundsOf(edge.target);
    for (let clock = 1; clock <= this.#system.clockCount; clock += 1) {
      if (edge.resets.includes(clock)) continue;
      if (boundOf(lower, clock) > boundOf(given.lower, clock)) {
        throw tooLow(source.state, clock, "lower", boundOf(lower, clock));
      }
      if (boundOf(upper, clock) > boundOf(given.upper, clock)) {
        throw tooLow(source.state, clock, "upper", boundOf(upper, clock));
      }
    }
  }
}

interface Bounds {
  readonly lower: Int32Array;
  readonly upper: Int32Array;
}

function boundOf(bounds: Int32Array, clock: number): number {
  return bounds[clock] ?? -1;
}

function isFromAbove({ kind }: Constraint): boolean {
  return kind === "at-most" || kind === "under";
}

function asLower({ clock, limit }: Constraint): Constraint {
  return { clock, kind: "at-least", limit };
}

function isImpossibleAtZero({ kind, limit }: Constraint): boolean {
  return kind === "under" && limit === 0;
}

/** A search with bounds that are too low would forget what still matters, so it is refused. */
function checkFarEnough(state: number, constraints: readonly Constraint[], bounds: Bounds): void {
  for (const constraint of constraints) {
    const { clock, limit } = constraint;
    if (!Number.isInteger(limit) || limit < 0 || limit > MOST_LIMIT) {
      throw new RangeError(
        `A limit of clock ${clock} is ${limit}: a whole number from 0 to ${MOST_LIMIT} is needed`,
      );
    }
    const side = isFromAbove(constraint) ? "upper" : "lower";
    if (limit > boundOf(bounds[side], clock)) throw tooLow(state, clock, side, limit);
  }
}

function tooLow(state: number, clock: number, side: "lower" | "upper", limit: number): Error {
  return new RangeError(
    `The ${side} bound of clock ${clock} in state ${state} must be at least ${limit}, which the clock is compared with`,
  );
}

function pairs(clocks: readonly number[], constraints: readonly Constraint[]): Int32Array {
  return Int32Array.from(
    constraints.flatMap(({ clock, kind, limit }) => [clocks.indexOf(clock), bound(limit, kind === "under")]),
  );
}

function triples(clocks: readonly number[], constraints: readonly Constraint[]): Int32Array {
  return Int32Array.from(
    constraints.flatMap((constraint) => {
      const index = clocks.indexOf(constraint.clock);
      return isFromAbove(constraint)
        ? [index, 0, bound(constraint.limit, constraint.kind === "under")]
        : [0, index, bound(-constraint.limit, constraint.kind === "over")];
    }),
  );
}
