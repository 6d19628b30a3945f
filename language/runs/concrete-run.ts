import type { Automaton, Machine, Standing } from "@limbwright/shared/runtime";
import { LOCATION, VARIABLES_FROM } from "@limbwright/shared/runtime";
import type { TracedAutomaton } from "./automaton/draft.ts";
import { doseBegun } from "./given-doses.ts";
import { happenings } from "./happenings.ts";
import type { Run, RunStep } from "./runs.ts";

/** One edge of the automaton with the time at which it is taken; the last may be a check broken by staying. */
export interface TimedMove {
  readonly edge?: number;
  readonly at: number;
}

/** Thrown where a run that was found cannot be followed step by step: a fault of this program. */
export class UnreplayableRun extends Error {}

/**
 * Follows a run through the runtime, edge by edge. The last move is looked at but not taken when `isBroken`:
 * it is the one that breaks a check, and a run is followed no further.
 */
export function concreteRun(
  machine: Machine,
  { automaton, edgeOrigins }: Pick<TracedAutomaton, "automaton" | "edgeOrigins">,
  moves: readonly TimedMove[],
): Run {
  let standing = machine.start();
  const steps: RunStep[] = [];
  for (const { edge, at } of moves) {
    if (edge === undefined) {
      standing = { ...standing, at };
      continue;
    }
    const next = machine.take(standing, edge, at);
    if ("kind" in next) throw new UnreplayableRun(`${automaton.edges[edge]?.says}: ${JSON.stringify(next)}`);
    const taken = automaton.edges[edge];
    const origin = edgeOrigins[edge];
    const dose = doseBegun(automaton, standing.state, next.state);
    steps.push({
      at,
      kind: taken?.kind ?? "pass",
      says: taken?.says ?? "",
      changes: happenings(automaton, standing.state, next.state),
      ...(dose !== undefined && { dose }),
      ...(origin && { origin }),
    });
    standing = next;
  }
  return { steps, ...endOf(automaton, standing) };
}

function endOf(
  automaton: Automaton,
  { state, at, began }: Standing,
): Pick<Run, "clocks" | "variables" | "location"> {
  return {
    location: automaton.locations[state[LOCATION] ?? 0]?.name ?? "",
    clocks: Object.fromEntries(automaton.clocks.map((clock) => [clock, at - (began[clock] ?? 0)])),
    variables: Object.fromEntries(
      automaton.variables.map(({ name, first }, slot) => [name, state[VARIABLES_FROM + slot] ?? first]),
    ),
  };
}
