import type { Constraint, TimedEdge, TimedSystem } from "./timed-system.ts";

/** A timed automaton written down in full. Locations are numbered by their place in the list. */
export interface FiniteAutomaton {
  readonly clockCount: number;
  readonly initial: number;
  readonly locations: readonly FiniteLocation[];
}

export interface FiniteLocation {
  readonly invariant: readonly Constraint[];
  readonly deadlines: readonly Constraint[];
  readonly isUrgent: boolean;
  readonly edges: readonly TimedEdge[];
  /** Values of clocks that have to be told apart here up to a limit, though nothing compares them. */
  readonly exact?: readonly Pick<Constraint, "clock" | "limit">[];
}

/** The automaton as a system to explore, with the smallest local bounds that are sound. */
export function systemOf({ clockCount, initial, locations }: FiniteAutomaton): TimedSystem {
  const location = (state: number): FiniteLocation => {
    const found = locations[state];
    if (found === undefined) throw new RangeError(`There is no location ${state}`);
    return found;
  };
  const bounds = localBounds(clockCount, locations);
  return {
    clockCount,
    initial,
    edgesFrom: (state) => location(state).edges,
    invariantOf: (state) => location(state).invariant,
    deadlinesOf: (state) => location(state).deadlines,
    isUrgent: (state) => location(state).isUrgent,
    lowerBoundsOf: (state) => bounds.lower[state] as Int32Array,
    upperBoundsOf: (state) => bounds.upper[state] as Int32Array,
  };
}

interface LocalBounds {
  readonly lower: readonly Int32Array[];
  readonly upper: readonly Int32Array[];
}

/** What each clock is compared with in a location, or after it before its next reset. */
function localBounds(clockCount: number, locations: readonly FiniteLocation[]): LocalBounds {
  const fresh = () => locations.map(() => new Int32Array(clockCount + 1).fill(-1));
  const bounds = { lower: fresh(), upper: fresh() };
  locations.forEach((location, state) => {
    raiseOwn(location, bounds.lower[state] as Int32Array, bounds.upper[state] as Int32Array);
  });
  carryBack(locations, bounds.lower);
  carryBack(locations, bounds.upper);
  return bounds;
}

function raiseOwn(
  { invariant, deadlines, edges, exact = [] }: FiniteLocation,
  lower: Int32Array,
  upper: Int32Array,
): void {
  for (const constraint of [...invariant, ...edges.flatMap(({ guard }) => guard)]) {
    raise(isFromAbove(constraint) ? upper : lower, constraint.clock, constraint.limit);
  }
  for (const { clock, limit } of [...deadlines, ...exact]) {
    raise(lower, clock, limit);
    raise(upper, clock, limit);
  }
}

/** Carries bounds back along the edges until nothing changes; a reset stops them. */
function carryBack(locations: readonly FiniteLocation[], bounds: readonly Int32Array[]): void {
  const leading: { readonly from: number; readonly edge: TimedEdge }[][] = locations.map(() => []);
  locations.forEach(({ edges }, from) => {
    for (const edge of edges) leading[edge.target]?.push({ from, edge });
  });
  const waiting = locations.map((_, state) => state);
  const isWaiting = new Uint8Array(locations.length).fill(1);
  for (let state = waiting.pop(); state !== undefined; state = waiting.pop()) {
    isWaiting[state] = 0;
    for (const { from, edge } of leading[state] ?? []) {
      const changed = carryOver(edge, bounds[state] as Int32Array, bounds[from] as Int32Array);
      if (changed && isWaiting[from] === 0) {
        isWaiting[from] = 1;
        waiting.push(from);
      }
    }
  }
}

function carryOver({ resets }: TimedEdge, target: Int32Array, source: Int32Array): boolean {
  let changed = false;
  for (let clock = 1; clock < target.length; clock += 1) {
    if (!resets.includes(clock) && raise(source, clock, target[clock] as number)) changed = true;
  }
  return changed;
}

function raise(bounds: Int32Array, clock: number, limit: number): boolean {
  if (limit <= (bounds[clock] ?? -1)) return false;
  bounds[clock] = limit;
  return true;
}

function isFromAbove({ kind }: Constraint): boolean {
  return kind === "at-most" || kind === "under";
}
