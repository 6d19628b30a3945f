import { originKey } from "@limbwright/shared/finding";
import type { Automaton, Machine, Standing } from "@limbwright/shared/runtime";
import { LOCATION, VARIABLES_FROM } from "@limbwright/shared/runtime";
import type { TracedAutomaton } from "./automaton/draft.ts";
import { doseBegun } from "./given-doses.ts";
import { happenings, standingFacts } from "./happenings.ts";
import { isInjected, isKeyStep } from "./key-step.ts";
import type { Run, RunStep } from "./runs.ts";

/** One edge of the automaton with the time at which it is taken; the last may be a check broken by staying. */
export interface TimedMove {
  readonly edge?: number;
  readonly at: number;
}

/** Thrown where a run that was found cannot be shown; `limit` says why to a reader. */
export class UnreplayableRun extends Error {
  readonly limit: string;

  constructor(message: string, limit = NOT_REPLAYED) {
    super(message);
    this.limit = limit;
  }
}

/** No run is shown that was not followed step by step. */
const NOT_REPLAYED =
  "a run was found that cannot be followed step by step; this is a fault of the checker, please report it";

type Traced = Pick<TracedAutomaton, "automaton" | "edgeOrigins" | "elements">;

/** Follows a run through the runtime, edge by edge. A move without an edge is time that passes at the end. */
export function concreteRun(machine: Machine, traced: Traced, moves: readonly TimedMove[]): Run {
  const { automaton } = traced;
  const told = runTeller(traced);
  let standing = machine.start();
  const steps: RunStep[] = [];
  for (const { edge, at } of moves) {
    if (edge === undefined) {
      if (at > standing.at) steps.push(goOnInHand(traced, standing, at));
      standing = { ...standing, at };
      continue;
    }
    const next = machine.take(standing, edge, at);
    if ("kind" in next) throw new UnreplayableRun(`${automaton.edges[edge]?.says}: ${JSON.stringify(next)}`);
    steps.push(told(edge, standing, next));
    standing = next;
  }
  return { steps, ...endOf(automaton, standing) };
}

/** Tells what taking an edge of an automaton does, from where the run stood to where it stands then. */
export function runTeller(traced: Traced): (edge: number, before: Standing, after: Standing) => RunStep {
  const { automaton, edgeOrigins } = traced;
  const tasks = taskOrigins(traced);
  return (edge, { state: before }, { state: after, at }) => {
    const { kind = "pass", says = "", step } = automaton.edges[edge] ?? {};
    const origin = edgeOrigins[edge];
    const dose = doseBegun(automaton, before, after);
    const isTask = origin !== undefined && tasks.has(originKey(origin));
    return {
      at,
      kind,
      says,
      ...(step && { step }),
      changes: happenings(automaton, before, after),
      standing: standingFacts(automaton, after),
      isKey: isKeyStep(automaton, { kind, before, after, isTask }),
      isInjected: isInjected(automaton, after),
      ...(dose !== undefined && { dose }),
      ...(origin && { origin }),
    };
  };
}

function taskOrigins({ elements }: Traced): Set<string> {
  return new Set(elements.flatMap(({ step, origin }) => (step?.kind === "task" ? [originKey(origin)] : [])));
}

/** Nothing happens, but what is in hand goes on. */
function goOnInHand({ automaton, edgeOrigins }: Traced, { state }: Standing, at: number): RunStep {
  const here = state[LOCATION] ?? 0;
  const location = automaton.locations[here];
  const origin = edgeOrigins[automaton.edges.findIndex(({ kind, to }) => kind === "start" && to === here)];
  return {
    at,
    kind: "stays",
    says: location?.name ?? "",
    ...(location?.step && { step: location.step }),
    changes: [],
    standing: standingFacts(automaton, state),
    isKey: true,
    isInjected: isInjected(automaton, state),
    ...(origin && { origin }),
  };
}

function endOf(automaton: Automaton, { state, at, began }: Standing): Pick<Run, "clocks" | "variables"> {
  return {
    clocks: Object.fromEntries(automaton.clocks.map((clock) => [clock, at - (began[clock] ?? 0)])),
    variables: Object.fromEntries(
      automaton.variables.map(({ name, first }, slot) => [name, state[VARIABLES_FROM + slot] ?? first]),
    ),
  };
}
