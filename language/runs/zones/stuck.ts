import { INFINITY, isStrict, negateBound, valueIn } from "./bound.ts";
import type { Layout } from "./layout.ts";
import { type Leg, pathTo } from "./path.ts";
import type { Interruption, PatienceOptions } from "./patience.ts";
import { Search, type SearchEnd } from "./search.ts";
import { IN_TIME, Stepper } from "./stepper.ts";
import type { TimedSystem } from "./timed-system.ts";
import { type DifferenceBound, type TraceTimes, traceTimes } from "./trace-times.ts";
import type { Move, Place, Unfolding } from "./unfolding.ts";
import { constrain, includes, letTimeRunBack, unboundedZone, type Zone } from "./zone.ts";

export interface StuckOptions extends PatienceOptions {
  /** States in which a run may rightly end are not looked at. */
  readonly mayEnd?: (state: number) => boolean;
  /** Whether an edge is a way on; one that only chance takes is none. Every edge is where undefined. */
  readonly isWayOn?: (edge: number) => boolean;
}

/** A way into being stuck, one with the fewest decisions for its state. */
export interface Stuck {
  readonly state: number;
  readonly decisions: number;
  readonly path: readonly Leg[];
  /** `end` is a moment at which no way is left. */
  readonly times: TraceTimes;
}

/** Every state in which a run can get stuck, when the end is `complete`; else those found so far. */
export interface StuckSearch extends SearchEnd {
  readonly stuck: readonly Stuck[];
  readonly nodeCount: number;
  readonly transitions: number;
}

/**
 * Finds the states in which a run can get to where no way on can be taken any more, now or after any wait that is
 * allowed, whether time can pass there or not. For each, a run with the fewest decisions.
 */
export function findStuck(system: TimedSystem, options: StuckOptions): StuckSearch {
  const search = new Search(system, { ...options, extrapolation: "maximal" });
  const explored = search.run();
  const { nodes, transitions } = search;
  const found = new StuckFinder(system, search, options.isWayOn ?? (() => true)).run(
    options.mayEnd ?? (() => false),
  );
  const end = explored.end === "complete" ? found.end : explored;
  return { ...end, stuck: found.stuck, nodeCount: nodes.count - nodes.coveredCount, transitions };
}

class StuckFinder {
  readonly #system: TimedSystem;
  readonly #search: Search;
  /** By place: from where each of its edges can be taken at once, and from where after a wait. */
  readonly #atOnce = new Map<Place, readonly Zone[]>();
  readonly #afterWait = new Map<Place, readonly Zone[]>();

  readonly #isWayOn: (edge: number) => boolean;

  constructor(system: TimedSystem, search: Search, isWayOn: (edge: number) => boolean) {
    this.#system = system;
    this.#search = search;
    this.#isWayOn = isWayOn;
  }

  run(mayEnd: (state: number) => boolean): { end: SearchEnd; stuck: Stuck[] } {
    const first = new Map<number, number>();
    const { nodes } = this.#search;
    for (let node = 0; node < nodes.count; node += 1) {
      const { place, decisions } = nodes.arrival(node);
      const known = first.get(place.state);
      const isNoNews = known !== undefined && nodes.decisions(known) <= decisions;
      if (nodes.isCovered(node) || isNoNews || mayEnd(place.state)) continue;
      const isStuck = this.#isStuck(node);
      if (typeof isStuck === "object") return this.#result(isStuck, first);
      if (isStuck) first.set(place.state, node);
    }
    return this.#result({ end: "complete" }, first);
  }

  #result(end: SearchEnd, first: ReadonlyMap<number, number>): { end: SearchEnd; stuck: Stuck[] } {
    const stuck = [...first].flatMap(([state, node]) => this.#witness(state, node) ?? []);
    return { end: stuck.length === first.size ? end : { end: "out-of-budget", limit: "values" }, stuck };
  }

  #isStuck(node: number): boolean | Interruption {
    const { nodes, patience } = this.#search;
    const { place, passed } = nodes.arrival(node);
    const { size } = place.layout;
    const zones = nodes.zones.block(node);
    const at = nodes.zones.at(node);
    const waysOn = this.#waysOn(place, passed);
    if (waysOn.some((way) => includes(way, 0, zones, at, size))) {
      return patience.afterWork(waysOn.length * size ** 2) ?? false;
    }
    let pieces: Zone[] = [zones.slice(at, at + size ** 2)];
    for (const way of waysOn) {
      pieces = pieces.flatMap((piece) => subtract(piece, way, size));
      const interruption = patience.afterWork((1 + pieces.length) * size ** 3);
      if (interruption !== undefined) return interruption;
    }
    return pieces.length > 0;
  }

  /** The zones of a place from which some way on can be taken, now or later. */
  #waysOn(place: Place, passed: number): readonly Zone[] {
    const waits = place.timePasses && passed === IN_TIME;
    const ways = waits ? this.#afterWait : this.#atOnce;
    const known = ways.get(place);
    if (known !== undefined) return known;
    const { unfolding } = this.#search;
    const edges = unfolding.edges(place).filter(({ id }) => this.#isWayOn(id));
    const found = edges.flatMap((edge) => {
      const move = unfolding.move(place, edge);
      return (move && wayOn(place, move, waits)) ?? [];
    });
    ways.set(place, found);
    return found;
  }

  /**
   * The run. What extrapolation adds behaves like something reached along the same path, so some way of
   * getting stuck is found on that path without it. Undefined when the run takes longer than can be reckoned with.
   */
  #witness(state: number, node: number): Stuck | undefined {
    const { nodes } = this.#search;
    const { place, passed, decisions } = nodes.arrival(node);
    const path = pathTo(this.#system, nodes, node);
    const zone = exactZone(this.#search.unfolding, path, this.#system.clockCount);
    if (zone === undefined) return undefined;
    const pieces = without(zone, this.#waysOn(place, passed), place.layout.size);
    for (const piece of pieces) {
      const times = traceTimes(this.#system, path, boundsOf(piece, place.layout));
      if (times !== undefined) return { state, decisions, path, times };
    }
    throw new Error(`No run shows how state ${state} gets stuck`);
  }
}

/** From where the move can be taken, after a wait or at once. */
function wayOn(place: Place, { guard, guardLength }: Move, waits: boolean): Zone | undefined {
  const { limits } = place;
  const { size } = place.layout;
  const zone = unboundedZone(size);
  for (let at = 0; at < guardLength; at += 3) {
    const [row, column, limit] = guard.subarray(at, at + 3);
    if (!constrain(zone, size, row as number, column as number, limit as number)) return undefined;
  }
  if (!waits) return zone;
  for (let at = 0; at < limits.length; at += 2) {
    if (!constrain(zone, size, limits[at] as number, 0, limits[at + 1] as number)) return undefined;
  }
  letTimeRunBack(zone, size);
  return zone;
}

function without(zone: Zone, others: readonly Zone[], size: number): Zone[] {
  let pieces = [zone];
  for (const other of others) pieces = pieces.flatMap((piece) => subtract(piece, other, size));
  return pieces;
}

/**
 * What the path leads to, with nothing forgotten but clocks that are never compared again. Undefined when values
 * grow too far on the way.
 */
function exactZone(unfolding: Unfolding, path: readonly Leg[], clockCount: number): Zone | undefined {
  const stepper = new Stepper("none", false, clockCount + 1);
  let place = unfolding.initial;
  stepper.start(place);
  stepper.settle(place, IN_TIME);
  for (const { edge, passed } of path) {
    const move = unfolding.move(place, edge);
    if (move === undefined) throw new Error(`A path takes edge ${edge.id}, which cannot be taken`);
    stepper.leave(stepper.settled.slice(), 0, place, move);
    stepper.enter(place, move);
    place = move.target;
    stepper.settle(place, passed);
  }
  return stepper.wentFar ? undefined : stepper.settled.slice(0, place.layout.size ** 2);
}

function boundsOf(zone: Zone, { clocks, size }: Layout): DifferenceBound[] {
  const bounds: DifferenceBound[] = [];
  clocks.forEach((clock, row) => {
    clocks.forEach((minus, column) => {
      const packed = zone[row * size + column] as number;
      if (packed === INFINITY || row === column) return;
      bounds.push({ clock, minus, limit: valueIn(packed), strict: isStrict(packed) });
    });
  });
  return bounds;
}

/**
 * The points of `zone` that are not in `other`, as zones that share no point. Both are closed, have points, and
 * are of the same size; neither is changed.
 */
export function subtract(zone: Zone, other: Zone, size: number): Zone[] {
  const pieces: Zone[] = [];
  const rest = zone.slice(0, size * size);
  for (let row = 0; row < size; row += 1) {
    for (let column = 0; column < size; column += 1) {
      const limit = other[row * size + column] as number;
      if (limit === INFINITY || limit >= (rest[row * size + column] as number)) continue;
      const outside = rest.slice();
      if (constrain(outside, size, column, row, negateBound(limit))) pieces.push(outside);
      if (!constrain(rest, size, row, column, limit)) return pieces;
    }
  }
  return pieces;
}
