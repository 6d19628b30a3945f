import { type Condition, isHandling, type Location } from "@limbwright/shared/runtime";
import type { DraftEdge } from "./draft.ts";
import { all, any } from "./facts.ts";
import type { Effect } from "./moments.ts";
import type { Building, Injection } from "./place.ts";

/**
 * An injection that is left for an emergency, or with the stage around it, is over: nobody comes back to it, and hold counts from
 * there. It is done when all edges are known.
 */
export function endLeftInjections({ draft, injections }: Building): void {
  draft.edges.forEach((edge, number) => {
    for (const injection of injections) {
      const left = whereLeft(edge, injection, draft.locations);
      if (left) draft.addEffect(number, onlyWhen(left, injection.atEnd));
    }
  });
}

/** When an edge leaves an injection for good: while it is in hand, or while what has interrupted it is. Undefined where it never does. */
function whereLeft(
  edge: DraftEdge,
  { during }: Injection,
  locations: readonly Location[],
): Condition | undefined {
  if (edge.kind === "leak" || edge.interrupts || typeof edge.to !== "number") return undefined;
  const isOwnEnd = edge.kind === "end" && edge.step?.kind === "inject";
  const isInHand = edge.from.includes(during) && !isOwnEnd;
  const forgets = edge.forgets && edge.from.some((at) => isHandling(locations[at]?.phase ?? "end"));
  const ways = [...(isInHand ? [{ at: [during] }] : []), ...(forgets ? [{ interrupted: [during] }] : [])];
  return ways.length > 0 ? any(...ways) : undefined;
}

function onlyWhen(condition: Condition, { set, reset }: Effect): Effect {
  const limited = <T extends { readonly when?: Condition }>(one: T): T => ({
    ...one,
    when: one.when ? all(condition, one.when) : condition,
  });
  return { set: set.map(limited), reset: reset.map(limited) };
}
