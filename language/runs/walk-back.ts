import type { GraphNode } from "./discrete-graph.ts";
import type { TimedEdge } from "./zones/timed-system.ts";

/** The nodes from which some of `ends` can be come to along edges that are followed; `ends` among them. */
export function leadingTo(
  nodes: readonly GraphNode[],
  ends: readonly number[],
  isFollowed: (edge: TimedEdge) => boolean,
): Set<number> {
  const sources = nodes.map((): number[] => []);
  nodes.forEach(({ edges }, from) => {
    for (const edge of edges) if (isFollowed(edge)) sources[edge.target]?.push(from);
  });
  const found = new Set(ends);
  const waiting = [...ends];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    for (const from of sources[at] ?? []) {
      if (found.has(from)) continue;
      found.add(from);
      waiting.push(from);
    }
  }
  return found;
}
