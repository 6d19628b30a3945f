import { allSteps, type Protocol } from "../model/index.ts";
import { buildAutomaton } from "./automaton/build-automaton.ts";
import { boundName } from "./automaton/durations.ts";
import { type DiscreteGraph, discreteGraph, withoutBounds } from "./discrete-graph.ts";
import { MOST_NODES, type RunOptions, whyNoRuns } from "./explore-runs.ts";
import { MOST_STATES, systemOfGraph } from "./system.ts";
import { explore } from "./zones/explore.ts";

/** Gives the rules that no run breaks when some bounds are not relied on; see `Assumption`. */
export type ProvenWithout = (dropped: ReadonlySet<string>) => ReadonlySet<string>;

/**
 * Asks the same again and again for other bounds: what `exploreRuns` says of the rules with all its runs at hand, for less. The
 * states are gone through once; what no check asks for is not told apart; and as soon as every rule is broken no further
 * run is gone through. No rule is proven where not every run can be gone through: one that is broken ends the following of a
 * run, or there are too many.
 */
export function provenRules(
  protocol: Protocol,
  rules: readonly string[],
  options: RunOptions,
): ProvenWithout {
  if (whyNoRuns(protocol)) return () => NONE;
  const graphs = new Map<string, MarkedGraph | undefined>();
  const stages = boundsOfStages(protocol);
  return (dropped) => {
    // The time of a stage shapes the automaton itself; that of a step is only asked about.
    const shaping = new Set([...dropped].filter((name) => stages.has(name)));
    const key = [...shaping].join("\n");
    const graph = graphs.has(key) ? graphs.get(key) : markedGraph(protocol, shaping, options);
    graphs.set(key, graph);
    return graph ? provenIn(graph, dropped, rules, options) : NONE;
  };
}

const NONE: ReadonlySet<string> = new Set();

interface MarkedGraph {
  readonly graph: DiscreteGraph;
  /** The rule of each check by its number, and whether it ends the run. */
  readonly checks: readonly { readonly rule: string; readonly endsRun?: true }[];
}

function markedGraph(
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

function boundsOfStages(protocol: Protocol): ReadonlySet<string> {
  const stages = [...allSteps(protocol)].filter(({ kind }) => kind === "stage");
  return new Set(stages.flatMap((step) => [boundName("shortest", step), boundName("longest", step)]));
}
