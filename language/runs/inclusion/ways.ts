import type { Constraint, TimedEdge } from "../zones/timed-system.ts";
import { isSoAtZero } from "./constraints.ts";
import type { Observed } from "./observed.ts";

/** How one goes on to do what is seen at one moment: any number of silent moves, then the one that is seen. */
export interface Continuation {
  /** The node of the graph it leads to. */
  readonly target: number;
  readonly guard: readonly Constraint[];
  readonly resets: readonly number[];
}

/** Every way in which something can be done from a node of the graph. */
export function waysOf(observed: Observed, from: number, seen: string): readonly Continuation[] {
  return waysFrom(observed, seen, { target: from, guard: [], resets: [] }, []);
}

function waysFrom(
  observed: Observed,
  seen: string,
  before: Continuation,
  passed: readonly number[],
): Continuation[] {
  const { graph } = observed.system;
  if (passed.includes(before.target)) return [];
  const edges = graph.nodes[before.target]?.edges ?? [];
  return edges.flatMap((edge) => {
    const { move, check } = graph.meanings[edge.id] ?? {};
    if (!move || check !== undefined) return [];
    const what = observed.seen(move);
    if (what !== undefined && what !== seen) return [];
    const way = goOn(before, edge);
    if (!way) return [];
    return what === seen ? [way] : waysFrom(observed, seen, way, [...passed, before.target]);
  });
}

/** One move more, at the same moment; undefined where a clock that has just been started forbids it. */
function goOn({ guard, resets }: Continuation, edge: TimedEdge): Continuation | undefined {
  const isNew = ({ clock }: Constraint) => resets.includes(clock);
  if (!edge.guard.every((one) => !isNew(one) || isSoAtZero(one))) return undefined;
  return {
    target: edge.target,
    guard: [...guard, ...edge.guard.filter((one) => !isNew(one))],
    resets: [...resets, ...edge.resets],
  };
}
