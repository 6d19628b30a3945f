import { type Automaton, type State, VARIABLES_FROM } from "@limbwright/shared/runtime";
import { cuffOf } from "./automaton/facts.ts";

/** Variables whose change a reader wants to see, with the words for it. */
const WORDS: Readonly<Record<string, readonly string[]>> = {
  bandage: ["bandage off", "bandage on"],
  cannula: ["cannula out", "cannula in"],
  drug: ["", "drug in the limb", "drug released"],
};

/** What is otherwise after a step, in a few words each: "distal up", "no cuff up". */
export function happenings(automaton: Automaton, before: State, after: State): string[] {
  const changed = automaton.variables.flatMap(({ name, values = [] }, at) => {
    const value = after[VARIABLES_FROM + at] ?? 0;
    return value === before[VARIABLES_FROM + at] ? [] : wordsFor(name, values, value);
  });
  return areUp(automaton, before) && !areUp(automaton, after) ? [...changed, "no cuff up"] : changed;
}

/** What is otherwise than at the beginning of a run, in a few words each: "distal up", "cannula in". */
export function standingWords(automaton: Automaton, state: State): string[] {
  return automaton.variables.flatMap(({ name, values = [], first }, at) => {
    const value = state[VARIABLES_FROM + at] ?? first;
    return value === first ? [] : wordsFor(name, values, value);
  });
}

/** None for a variable that says nothing to a reader. */
function wordsFor(name: string, values: readonly string[], value: number): string[] {
  const cuff = cuffOf(name);
  const words = cuff === undefined ? WORDS[name]?.[value] : `${cuff} ${values[value]}`;
  return words ? [words] : [];
}

function areUp({ variables }: Automaton, state: State): boolean {
  return variables.some(
    ({ name }, at) => cuffOf(name) !== undefined && (state[VARIABLES_FROM + at] ?? 0) > 0,
  );
}
