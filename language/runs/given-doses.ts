import { type Automaton, type State, VARIABLES_FROM } from "@limbwright/shared/runtime";
import { given } from "./automaton/facts.ts";

/** The counts of doses in reached states, each with the first state that has it; those that no other exceeds. */
export function greatestCounts(
  automaton: Automaton,
  doses: readonly string[],
  reached: Iterable<readonly [state: State, id: number]>,
): { readonly counts: ReadonlyMap<string, number>; readonly id: number }[] {
  const slots = doses.map((dose) => ({
    dose,
    slot: VARIABLES_FROM + automaton.variables.findIndex(({ name }) => name === given(dose)),
  }));
  const found = new Map<string, { readonly numbers: readonly number[]; readonly id: number }>();
  for (const [state, id] of reached) {
    const numbers = slots.map(({ slot }) => state[slot] ?? 0);
    const key = numbers.join(",");
    if (!found.has(key)) found.set(key, { numbers, id });
  }
  const all = [...found.values()];
  const isExceeded = (numbers: readonly number[]) =>
    all.some(
      (other) =>
        other.numbers !== numbers && numbers.every((number, at) => number <= (other.numbers[at] ?? 0)),
    );
  return all
    .filter(({ numbers }) => !isExceeded(numbers))
    .map(({ numbers, id }) => ({
      id,
      counts: new Map(
        slots.flatMap(({ dose }, at) => (numbers[at] ? [[dose, numbers[at] ?? 0] as const] : [])),
      ),
    }));
}
