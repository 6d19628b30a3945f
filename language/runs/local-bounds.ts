import type { DiscreteGraph, GraphNode } from "./discrete-graph.ts";
import type { TimedEdge } from "./zones/timed-system.ts";

/** For every node of a graph, the largest constants that clocks are still compared with before they begin anew. */
export interface LocalBounds {
  readonly lower: readonly Int32Array[];
  readonly upper: readonly Int32Array[];
}

/** Values of clocks whose exact value matters are told apart up to a day. */
const A_DAY = 86_400;

export function localBounds({ nodes, clockCount }: DiscreteGraph): LocalBounds {
  const bounds = {
    lower: nodes.map(() => new Int32Array(clockCount + 1).fill(-1)),
    upper: nodes.map(() => new Int32Array(clockCount + 1).fill(-1)),
  };
  nodes.forEach((node, at) => {
    raiseOwn(node, bounds.lower[at], bounds.upper[at]);
  });
  spread(nodes, bounds.lower);
  spread(nodes, bounds.upper);
  return bounds;
}

function raise(bounds: Int32Array | undefined, clock: number, to: number): boolean {
  if (!bounds || (bounds[clock] ?? 0) >= to) return false;
  bounds[clock] = to;
  return true;
}

function raiseOwn(
  { edges, deadlines, exact }: GraphNode,
  lower: Int32Array | undefined,
  upper: Int32Array | undefined,
): void {
  for (const { clock, kind, limit } of edges.flatMap(({ guard }) => guard)) {
    raise(kind === "at-least" || kind === "over" ? lower : upper, clock, limit);
  }
  for (const { clock, limit } of deadlines) {
    raise(lower, clock, limit);
    raise(upper, clock, limit);
  }
  for (const clock of exact) {
    raise(lower, clock, A_DAY);
    raise(upper, clock, A_DAY);
  }
}

/** Carries bounds back along the edges until nothing changes; a reset stops them. */
function spread(nodes: readonly GraphNode[], bounds: readonly Int32Array[]): void {
  const leading: { readonly from: number; readonly edge: TimedEdge }[][] = nodes.map(() => []);
  nodes.forEach(({ edges }, from) => {
    for (const edge of edges) leading[edge.target]?.push({ from, edge });
  });
  const waiting = nodes.map((_, at) => at);
  const isWaiting = new Uint8Array(nodes.length).fill(1);
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    isWaiting[at] = 0;
    for (const { from, edge } of leading[at] ?? []) {
      const changed = carried(edge, bounds[at], bounds[from]);
      if (changed && isWaiting[from] === 0) {
        isWaiting[from] = 1;
        waiting.push(from);
      }
    }
  }
}

function carried(
  { resets }: TimedEdge,
  target: Int32Array | undefined,
  source: Int32Array | undefined,
): boolean {
  let changed = false;
  for (let clock = 1; target && clock < target.length; clock += 1) {
    if (!resets.includes(clock) && raise(source, clock, target[clock] ?? -1)) changed = true;
  }
  return changed;
}
