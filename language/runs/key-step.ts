import { type Automaton, type EdgeKind, type State, VARIABLES_FROM } from "@limbwright/shared/runtime";
import { cuffOf, doseOf, LINE_CHECKED, NOT_INJECTED, PAUSED } from "./automaton/facts.ts";

/** A step of a run as the automaton takes it. */
export interface TakenStep {
  readonly kind: EdgeKind;
  readonly before: State;
  readonly after: State;
  /** Whether the step is a line of the checklist. */
  readonly isTask: boolean;
}

/**
 * Whether a run cannot be told without a step: an event, an answer, a leak, the end of a task (but of the pause and the look at the
 * line, which every run has), a dose or the end of an injection, a cuff that changes once the drug was injected.
 */
export function isKeyStep(automaton: Automaton, { kind, before, after, isTask }: TakenStep): boolean {
  const changed = automaton.variables.filter(
    (_, at) => after[VARIABLES_FROM + at] !== before[VARIABLES_FROM + at],
  );
  const isPreparing = changed.some((one) => PREPARING.has(one.name));
  if (ALWAYS_TOLD.has(kind) || (kind === "end" && isTask && !isPreparing)) return true;
  return changed.some(({ name }) => {
    if (doseOf(name) !== undefined || name === "drug" || name === "hold runs") return true;
    return cuffOf(name) !== undefined && isInjected(automaton, before);
  });
}

/** Whether the drug was injected, or its injection has begun. */
export function isInjected({ variables }: Automaton, state: State): boolean {
  const at = variables.findIndex(({ name }) => name === "drug");
  return state[VARIABLES_FROM + at] !== NOT_INJECTED;
}

const PREPARING: ReadonlySet<string> = new Set([PAUSED.variable, LINE_CHECKED.variable]);
const ALWAYS_TOLD: ReadonlySet<EdgeKind> = new Set(["event", "reaches", "answer", "leak"]);
