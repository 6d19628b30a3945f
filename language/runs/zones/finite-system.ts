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
  locations.forEach(({ invariant, deadlines, edges }, state) => {
    for (const constraint of [...invariant, ...deadlines, ...edges.flatMap(({ guard }) => guard)]) {
      raise(bounds[isFromAbove(constraint) ? "upper" : "lower"][state], constraint.clock, constraint.limit);
    }
    for (const { clock, limit } of deadlines) raise(bounds.lower[state], clock, limit);
  });
  while (carryBack(bounds, clockCount, locations)) {
    // Until nothing more is carried.
  }
  return bounds;
}

/** Carries the bounds of targets to the sources of their edges, once. False when nothing changed. */
function carryBack(bounds: LocalBounds, clockCount: number, locations: readonly FiniteLocation[]): boolean {
  let changed = false;
  for (let state = locations.length - 1; state >= 0; state -= 1) {
    for (const { target, resets } of locations[state]?.edges ?? []) {
      for (let clock = 1; clock <= clockCount; clock += 1) {
        if (!resets.includes(clock) && carryOne(bounds, clock, state, target)) changed = true;
      }
    }
  }
  return changed;
}

function carryOne({ lower, upper }: LocalBounds, clock: number, source: number, target: number): boolean {
  const lowerRaised = raise(lower[source], clock, lower[target]?.[clock] ?? -1);
  return raise(upper[source], clock, upper[target]?.[clock] ?? -1) || lowerRaised;
}

function raise(bounds: Int32Array | undefined, clock: number, limit: number): boolean {
  if (bounds === undefined || limit <= (bounds[clock] ?? -1)) return false;
  bounds[clock] = limit;
  return true;
}

function isFromAbove({ kind }: Constraint): boolean {
  return kind === "at-most" || kind === "under";
}
