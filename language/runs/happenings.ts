import { factWords, type RunFact } from "@limbwright/shared/finding";
import { type Automaton, type State, VARIABLES_FROM, type Variable } from "@limbwright/shared/runtime";
import { cuffOf, NOT_INJECTED } from "./automaton/facts.ts";

/** What is otherwise after a step, in a few words each: "distal up", "no cuff up". */
export function happenings(automaton: Automaton, before: State, after: State): string[] {
  const changed = automaton.variables.flatMap((variable, at) => {
    const value = after[VARIABLES_FROM + at] ?? 0;
    return value === before[VARIABLES_FROM + at] ? [] : factOf(variable, value).map(factWords);
  });
  return areUp(automaton, before) && !areUp(automaton, after) ? [...changed, "no cuff up"] : changed;
}

/** What is otherwise than at the beginning of a run. */
export function standingFacts({ variables }: Automaton, state: State): RunFact[] {
  return variables.flatMap((variable, at) => {
    const value = state[VARIABLES_FROM + at] ?? variable.first;
    return value === variable.first ? [] : factOf(variable, value);
  });
}

/** None for a variable that says nothing to a reader. */
function factOf({ name, values = [] }: Variable, value: number): RunFact[] {
  const cuff = cuffOf(name);
  if (cuff === undefined && !(name === "bandage" || name === "cannula" || name === "drug")) return [];
  if (name === "drug" && value === NOT_INJECTED) return [];
  const is = values[value];
  return [(cuff === undefined ? { kind: name, is } : { kind: "cuff", cuff, is }) as RunFact];
}

function areUp({ variables }: Automaton, state: State): boolean {
  return variables.some(
    ({ name }, at) => cuffOf(name) !== undefined && (state[VARIABLES_FROM + at] ?? 0) > 0,
  );
}
