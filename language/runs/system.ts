import type { Automaton } from "@limbwright/shared/runtime";
import { type DiscreteGraph, discreteGraph, type GraphOptions } from "./discrete-graph.ts";
import { localBounds } from "./local-bounds.ts";
import type { TimedSystem } from "./zones/timed-system.ts";

/** The automaton as the zone engine explores it, with what its states and edges stand for. */
export interface ProtocolSystem extends TimedSystem {
  readonly graph: DiscreteGraph;
}

/** Undefined when there are too many states, or when it was cancelled. */
export function systemOf(automaton: Automaton, options: GraphOptions): ProtocolSystem | undefined {
  const graph = discreteGraph(automaton, options);
  if (!graph) return undefined;
  const { lower, upper } = localBounds(graph);
  const { nodes, clockCount } = graph;
  const none = new Int32Array(clockCount + 1).fill(-1);
  return {
    graph,
    clockCount,
    initial: 0,
    edgesFrom: (id) => nodes[id]?.edges ?? [],
    invariantOf: () => [],
    deadlinesOf: (id) => nodes[id]?.deadlines ?? [],
    isUrgent: (id) => nodes[id]?.moves?.isUrgent ?? true,
    lowerBoundsOf: (id) => lower[id] ?? none,
    upperBoundsOf: (id) => upper[id] ?? none,
  };
}
