import { type Exploration, explore } from "../../../../language/runs/zones/explore.ts";
import { type FiniteAutomaton, systemOf } from "../../../../language/runs/zones/finite-system.ts";
import { findStuck } from "../../../../language/runs/zones/stuck.ts";
import type { ReachabilityQuestion } from "./read.ts";

export interface ReachabilityAnswer {
  readonly id: string;
  /** Whether some run enters the target. */
  readonly reachable: boolean;
  /** The fewest edges of such a run. */
  readonly minSteps: number | null;
  /** The least time at which a run enters the target; not attained: runs come as near as wished, and never there. */
  readonly earliest: { readonly time: number; readonly attained: boolean } | null;
  /** Locations in which a run can get to where no edge can be taken any more, now or after any wait. */
  readonly stuckLocations: readonly string[];
}

/** Answers by searches without any limit. */
export function answer({ id, automaton, target, locationNames }: ReachabilityQuestion): ReachabilityAnswer {
  const isTarget = (state: number): boolean => state === target;
  const shortest = explore(systemOf(automaton), { extrapolation: "lower-upper", stopAt: isTarget });
  const earliest = explore(systemOf(withoutDecisions(automaton)), {
    extrapolation: "lower-upper",
    stopAt: isTarget,
    withTotalTime: true,
  });
  const { stuck } = findStuck(systemOf(automaton), {});
  const stuckStates = new Set(stuck.map(({ state }) => state));
  return {
    id,
    reachable: shortest.target !== undefined,
    minSteps: shortest.target === undefined ? null : shortest.node(shortest.target).decisions,
    earliest: earliestOf(earliest, automaton.clockCount + 1),
    stuckLocations: locationNames.filter((_, state) => stuckStates.has(state)),
  };
}

function earliestOf({ target, node }: Exploration, totalTime: number): ReachabilityAnswer["earliest"] {
  if (target === undefined) return null;
  const { value, strict } = node(target).zone.leastOf(totalTime);
  return { time: value, attained: !strict };
}

/** So that the search finds the earliest of all runs, not of the shortest. */
function withoutDecisions(automaton: FiniteAutomaton): FiniteAutomaton {
  const locations = automaton.locations.map((location) => ({
    ...location,
    edges: location.edges.map((edge) => ({ ...edge, isDecision: false })),
  }));
  return { ...automaton, locations };
}
