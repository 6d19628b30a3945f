import { NONE, type Nodes } from "./nodes.ts";
import type { TimedEdge, TimedSystem } from "./timed-system.ts";

/** One edge of a path, and how its target was entered. */
export interface Leg {
  readonly edge: TimedEdge;
  /** The number of the target's first deadline that was past on entering; -1 when all were ahead, or time does not pass there anyhow. */
  readonly passed: number;
}

/** The edges from the start to a node. */
export function pathTo(system: TimedSystem, nodes: Nodes, last: number): readonly Leg[] {
  const legs: Leg[] = [];
  for (let node = last; node !== NONE; node = nodes.arrival(node).parent) {
    const { parent, edge: number, passed } = nodes.arrival(node);
    if (parent === NONE) break;
    const edge = system.edgesFrom(nodes.place(parent).state)[number];
    if (edge === undefined) throw new Error("A state has fewer edges than when it was explored");
    legs.push({ edge, passed });
  }
  return legs.reverse();
}
