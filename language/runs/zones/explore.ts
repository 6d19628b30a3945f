import { NONE, type Nodes } from "./nodes.ts";
import { type Leg, pathTo } from "./path.ts";
import { type ExploreOptions, Search, type SearchEnd } from "./search.ts";
import type { TimedSystem } from "./timed-system.ts";
import { viewOf, type ZoneView } from "./zone-view.ts";

export type { ExploreOptions } from "./search.ts";

/** A discrete state with what is possible there after waiting. Nodes are numbered in the order they were found. */
export interface Node {
  readonly state: number;
  readonly parent: number | undefined;
  readonly decisions: number;
  /** With `extrapolation`: exact for a clock up to its bounds. */
  readonly zone: ZoneView;
}

export interface Exploration extends SearchEnd {
  /** The node asked for by `stopAt`. Another may be better when the end is not `stopped`. */
  readonly target?: number;
  /** Nodes stored, and not covered by a later one. */
  readonly nodeCount: number;
  /** Edges taken from a node with something left. */
  readonly transitions: number;
  /** The discrete states reached, each with its first node: one with the fewest decisions. */
  readonly states: ReadonlyMap<number, number>;
  readonly node: (node: number) => Node;
  /** The edges that led there. */
  readonly pathTo: (node: number) => readonly Leg[];
}

/**
 * Explores every run of a system, ordered by decisions: first all that needs none, then one, and so on, breadth
 * first inside. A node is left out when another of its state has all its points and needs no more decisions.
 */
export function explore(system: TimedSystem, options: ExploreOptions): Exploration {
  const search = new Search(system, options);
  const end = search.run();
  const { nodes, target } = search;
  return {
    ...end,
    ...(target === undefined ? {} : { target }),
    nodeCount: nodes.count - nodes.coveredCount,
    transitions: search.transitions,
    states: nodes.firstNodes(),
    node: (node) => nodeOf(nodes, node),
    pathTo: (node) => pathTo(system, nodes, node),
  };
}

function nodeOf(nodes: Nodes, node: number): Node {
  const { place, parent, decisions } = nodes.arrival(node);
  return {
    state: place.state,
    parent: parent === NONE ? undefined : parent,
    decisions,
    zone: viewOf(place.layout, nodes.zones.block(node), nodes.zones.at(node)),
  };
}
