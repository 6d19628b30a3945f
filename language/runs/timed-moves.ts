import type { TimedMove } from "./concrete-run.ts";
import type { ProtocolSystem } from "./system.ts";
import type { Leg } from "./zones/path.ts";
import { traceTimes } from "./zones/trace-times.ts";

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
