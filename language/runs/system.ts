import type { Automaton } from "@limbwright/shared/runtime";
import type { TimedMove } from "./concrete-run.ts";
import { type DiscreteGraph, discreteGraph, type GraphNode, type GraphOptions } from "./discrete-graph.ts";
import { type FiniteLocation, systemOf as finiteSystem } from "./zones/finite-system.ts";
import type { Leg } from "./zones/path.ts";
import type { TimedSystem } from "./zones/timed-system.ts";
import { traceTimes } from "./zones/trace-times.ts";

/** The automaton as the zone engine explores it, with what its states and edges stand for. */
export interface ProtocolSystem extends TimedSystem {
  readonly graph: DiscreteGraph;
}

/** How many states are gone through before the answer is *not decided*: the same on every machine. */
export const MOST_STATES = 60_000;

/** Values of clocks whose exact value matters are told apart up to a day. */
const A_DAY = 86_400;

/** Undefined when there are too many states, or when it was cancelled. */
export function systemOf(automaton: Automaton, options: GraphOptions): ProtocolSystem | undefined {
  const graph = discreteGraph(automaton, options);
  return graph && systemOfGraph(graph);
}

export function systemOfGraph(graph: DiscreteGraph): ProtocolSystem {
  const { nodes, clockCount } = graph;
  return { graph, ...finiteSystem({ clockCount, initial: 0, locations: nodes.map(locationOf) }) };
}

function locationOf({ moves, edges, deadlines, exact }: GraphNode): FiniteLocation {
  return {
    invariant: [],
    deadlines,
    isUrgent: moves?.isUrgent ?? true,
    edges,
    exact: exact.map((clock) => ({ clock, limit: A_DAY })),
  };
}

/** The moves of a path at the earliest times at which it can be taken; undefined when no run takes it. */
export function movesWithTimes(system: ProtocolSystem, legs: readonly Leg[]): TimedMove[] | undefined {
  const { times } = traceTimes(system, legs) ?? {};
  return (
    times &&
    legs.map(({ edge }, at): TimedMove => {
      const move = system.graph.meanings[edge.id]?.move;
      return { ...(move && { edge: move.edge }), at: times[at] ?? 0 };
    })
  );
}
