import { bound, MOST_VALUE } from "./bound.ts";
import { type Extrapolation, type Layout, Layouts } from "./layout.ts";
import type { Constraint, TimedEdge, TimedSystem } from "./timed-system.ts";

/** Sums of a few limits stay clear of the greatest value: over a year in seconds. */
const MOST_LIMIT = MOST_VALUE >> 3;
const NOTHING: readonly number[] = [];
const NOWHERE: Place = {
  index: -1,
  state: -1,
  layout: { clocks: NOTHING, size: 0, lower: NOTHING, upper: NOTHING },
  invariant: [],
  timePasses: false,
  limits: NOTHING,
  deadlines: NOTHING,
};

/** A discrete state as the search works on it. */
export interface Place {
  /** Places count from 0 in the order in which they are made. */
  readonly index: number;
  readonly state: number;
  readonly layout: Layout;
  readonly invariant: readonly Constraint[];
  readonly timePasses: boolean;
  /** Invariants and deadlines as pairs of index and bound: as far as time passes when no deadline is past. */
  readonly limits: readonly number[];
  /** Deadlines as pairs of index and bound. None where no time passes anyhow. */
  readonly deadlines: readonly number[];
}

/** An edge out of a place, in terms of the zones of its source and target. */
export interface Move {
  readonly target: Place;
  /** Row, column and bound, by the source's indexes: the guard, and what the target's invariant asks before the resets. */
  readonly guard: Int32Array;
  /** How many entries of `guard` count. */
  readonly guardLength: number;
  /** For `carryOver`, from the source's zones to the target's; as many count as the target has clocks. */
  readonly origins: Int32Array;
}

/**
 * The places and moves of a system, made when they are first asked for. A system whose bounds are too low for
 * what its clocks are compared with is refused with a `RangeError`: the search would forget what still matters.
 */
export class Unfolding {
  readonly #system: TimedSystem;
  readonly #layouts: Layouts;
  readonly #places = new Map<number, Place>();
  readonly #move: MoveDraft;

  constructor(system: TimedSystem, extrapolation: Extrapolation, withTotalTime: boolean) {
    this.#system = system;
    this.#layouts = new Layouts(system.clockCount, extrapolation, withTotalTime);
    this.#move = new MoveDraft(system.clockCount + 2);
  }

  get initial(): Place {
    return this.#place(this.#system.initial);
  }

  edges({ state }: Place): readonly TimedEdge[] {
    return this.#system.edgesFrom(state);
  }

  /**
   * Undefined for an edge whose target cannot be entered after its resets. The next call overwrites the answer:
   * there are far more edges than it is worth keeping this for.
   */
  move(source: Place, edge: TimedEdge): Move | undefined {
    return this.#move.fill(source, edge, this.#place(edge.target));
  }

  #place(state: number): Place {
    const known = this.#places.get(state);
    if (known !== undefined) return known;
    const place = this.#newPlace(state);
    this.#places.set(state, place);
    return place;
  }

  #newPlace(state: number): Place {
    const system = this.#system;
    const timePasses = !system.isUrgent(state);
    const layout = this.#layouts.of(system.lowerBoundsOf(state), system.upperBoundsOf(state));
    const invariant = system.invariantOf(state);
    const deadlines = timePasses ? this.#deadlinesOf(state, layout) : NOTHING;
    const own = pairs(state, layout, invariant);
    const limits = deadlines.length === 0 ? own : [...own, ...deadlines];
    return { index: this.#places.size, state, layout, invariant, timePasses, limits, deadlines };
  }

  /** A deadline compares its clock from below too: whether it is past. */
  #deadlinesOf(state: number, layout: Layout): readonly number[] {
    const deadlines = this.#system.deadlinesOf(state);
    for (const { clock, limit } of deadlines) indexFor(state, layout, { clock, kind: "at-least", limit });
    return pairs(state, layout, deadlines);
  }
}

/** Whether a run can start here, with all clocks at 0. */
export function isOpenAtZero({ invariant }: Place): boolean {
  return !invariant.some(isImpossibleAtZero);
}

function isImpossibleAtZero({ kind, limit }: Constraint): boolean {
  return kind === "under" && limit === 0;
}

/** A move that is filled anew for each edge. */
class MoveDraft implements Move {
  target: Place = NOWHERE;
  guard = new Int32Array(48);
  guardLength = 0;
  readonly origins: Int32Array;

  constructor(mostClocks: number) {
    this.origins = new Int32Array(mostClocks);
  }

  fill(source: Place, { guard, resets }: TimedEdge, target: Place): this | undefined {
    this.target = target;
    this.guardLength = 0;
    for (let at = 0; at < guard.length; at += 1) this.#demand(source, guard[at] as Constraint);
    for (let at = 0; at < target.invariant.length; at += 1) {
      const constraint = target.invariant[at] as Constraint;
      if (!resets.includes(constraint.clock)) this.#demand(source, constraint);
      else if (isImpossibleAtZero(constraint)) return undefined;
    }
    this.#findOrigins(source, resets, target);
    return this;
  }

  #demand(source: Place, constraint: Constraint): void {
    const index = indexFor(source.state, source.layout, constraint);
    const { kind, limit } = constraint;
    if (this.guardLength + 3 > this.guard.length) {
      const longer = new Int32Array(2 * this.guard.length);
      longer.set(this.guard);
      this.guard = longer;
    }
    const isUpper = isFromAbove(kind);
    this.guard[this.guardLength] = isUpper ? index : 0;
    this.guard[this.guardLength + 1] = isUpper ? 0 : index;
    this.guard[this.guardLength + 2] = isUpper
      ? bound(limit, kind === "under")
      : bound(-limit, kind === "over");
    this.guardLength += 3;
  }

  /** Both lists of clocks are in order, so one pass finds each clock of the target in the source. */
  #findOrigins(from: Place, resets: readonly number[], to: Place): void {
    const source = from.layout;
    const target = to.layout;
    let origin = 0;
    for (let index = 1; index < target.size; index += 1) {
      const clock = target.clocks[index] as number;
      while (origin < source.size && (source.clocks[origin] as number) < clock) origin += 1;
      const isReset = resets.includes(clock);
      if (!isReset) checkCarried(from, origin, target, index);
      this.origins[index] = isReset ? 0 : origin;
    }
  }
}

/** What a clock is compared with after an edge, it must be compared with before, unless the edge resets it. */
function checkCarried(from: Place, origin: number, target: Layout, index: number): void {
  const source = from.layout;
  const clock = target.clocks[index] as number;
  const isKept = source.clocks[origin] === clock;
  const lower = target.lower[index] as number;
  const upper = target.upper[index] as number;
  if (isKept && lower <= (source.lower[origin] as number) && upper <= (source.upper[origin] as number))
    return;
  if (lower > (isKept ? (source.lower[origin] as number) : -1))
    throw tooLow(from.state, clock, "lower", lower);
  throw tooLow(from.state, clock, "upper", upper);
}

/** The clock's index, once it is sure that the comparison is within its bounds. */
function indexFor(state: number, layout: Layout, { clock, kind, limit }: Constraint): number {
  if (!Number.isInteger(limit) || limit < 0 || limit > MOST_LIMIT) {
    throw new RangeError(
      `A limit of clock ${clock} is ${limit}: a whole number from 0 to ${MOST_LIMIT} is needed`,
    );
  }
  const index = layout.clocks.indexOf(clock);
  const bounds = isFromAbove(kind) ? layout.upper : layout.lower;
  if (index < 0 || limit > (bounds[index] as number)) {
    throw tooLow(state, clock, isFromAbove(kind) ? "upper" : "lower", limit);
  }
  return index;
}

function isFromAbove(kind: Constraint["kind"]): boolean {
  return kind === "at-most" || kind === "under";
}

function tooLow(state: number, clock: number, side: "lower" | "upper", limit: number): Error {
  return new RangeError(
    `The ${side} bound of clock ${clock} in state ${state} must be at least ${limit}, which the clock is compared with`,
  );
}

/** Of constraints from above. */
function pairs(state: number, layout: Layout, constraints: readonly Constraint[]): readonly number[] {
  if (constraints.length === 0) return NOTHING;
  const found = new Array<number>(2 * constraints.length);
  for (let at = 0; at < constraints.length; at += 1) {
    const constraint = constraints[at] as Constraint;
    found[2 * at] = indexFor(state, layout, constraint);
    found[2 * at + 1] = bound(constraint.limit, constraint.kind === "under");
  }
  return found;
}
