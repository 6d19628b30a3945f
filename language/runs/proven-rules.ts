import type { Check } from "@limbwright/shared/runtime";
import type { Protocol } from "../model/index.ts";
import { buildAutomaton } from "./automaton/build-automaton.ts";
import { type DiscreteGraph, discreteGraph, withoutBounds } from "./discrete-graph.ts";
import { MOST_NODES, type RunOptions, whyNoRuns } from "./explore-runs.ts";
import { MOST_STATES, systemOfGraph } from "./system.ts";
import { explore } from "./zones/explore.ts";

/** The bounds that are not relied on, by their names; see `Assumption`. */
export interface Dropped {
  readonly steps: ReadonlySet<string>;
  /** The times of stages shape the automaton itself, those of steps are only asked about. */
  readonly stages: ReadonlySet<string>;
}

/** Gives the rules that no run breaks when some bounds are not relied on. */
export type ProvenWithout = (dropped: Dropped) => ReadonlySet<string>;

/**
 * Asks the same again and again for other bounds: what `exploreRuns` says of the rules with all its runs at hand, for less. The
 * states are gone through once for each choice of stages; what no check asks for is not told apart; and as soon as every rule is
 * broken no further run is gone through. No rule is proven where not every run can be gone through: one that is broken ends the
 * following of a run, or there are too many.
 */
export function provenRules(
  protocol: Protocol,
  rules: readonly string[],
  options: RunOptions,
): ProvenWithout {
  if (whyNoRuns(protocol)) return () => NONE;
  const graphs = new Map<string, MarkedGraph | undefined>();
  return ({ steps, stages }) => {
    const key = [...stages].join("\n");
    const graph = graphs.has(key) ? graphs.get(key) : buildMarkedGraph(protocol, stages, options);
    graphs.set(key, graph);
    return graph ? provenIn(graph, steps, rules, options) : NONE;
  };
}

const NONE: ReadonlySet<string> = new Set();

interface MarkedGraph {
  readonly graph: DiscreteGraph;
  readonly checks: readonly Check[];
}

function buildMarkedGraph(
  protocol: Protocol,
  dropped: ReadonlySet<string>,
  options: RunOptions,
): MarkedGraph | undefined {
  const { isCancelled, timing } = options;
  const { automaton } = buildAutomaton(protocol, {
    ...options,
    timing: { ...timing, dropped, isMarked: true },
  });
  const graph = discreteGraph(automaton, { mostStates: MOST_STATES, ...(isCancelled && { isCancelled }) });
  return graph && { graph, checks: automaton.checks };
}

function provenIn(
  { graph, checks }: MarkedGraph,
  dropped: ReadonlySet<string>,
  rules: readonly string[],
  { isCancelled }: RunOptions,
): ReadonlySet<string> {
  const open = new Set(rules);
  const { end } = explore(systemOfGraph(withoutBounds(graph, dropped)), {
    extrapolation: "lower-upper",
    mostNodes: MOST_NODES,
    ...(isCancelled && { isCancelled }),
    stopAt: (state) => {
      const check = checks[graph.nodes[state]?.check ?? -1];
      if (check?.endsRun) open.clear();
      else if (check) open.delete(check.rule);
      return open.size === 0;
    },
  });
  return end === "complete" ? open : NONE;
}
