import { NONE, type Nodes } from "./nodes.ts";
import type { TimedEdge } from "./timed-system.ts";

/** One edge of a path, and how its target was entered. */
export interface Leg {
  readonly edge: TimedEdge;
  /** The number of the target's first deadline that was past on entering; -1 when all were ahead, or time does not pass there anyhow. */
  readonly passed: number;
}

/** The edges from the start to a node. */
export function pathTo(nodes: Nodes, last: number): readonly Leg[] {
  const legs: Leg[] = [];
  for (let node = last; node !== NONE; ) {
    const { parent, edge, passed } = nodes.arrival(node);
    if (edge !== undefined) legs.push({ edge, passed });
    node = parent;
  }
  return legs.reverse();
}
