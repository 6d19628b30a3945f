import { type Automaton, type State, VARIABLES_FROM } from "@limbwright/shared/runtime";
import { doseOf, givenVariable } from "./automaton/facts.ts";
import type { GivenDoses } from "./runs.ts";

/** A state that runs reach, with the fewest decisions of a run that does. */
export interface ReachedState {
  readonly id: number;
  readonly state: State;
  readonly decisions: number;
}

export interface ReachedCounts extends Omit<GivenDoses, "run"> {
  /** A state in which so much was given. */
  readonly id: number;
}

/** The counts of doses in reached states, each with the state that needs the fewest decisions. */
export function collectReachedCounts(
  automaton: Automaton,
  doses: readonly string[],
  reached: readonly ReachedState[],
): ReachedCounts[] {
  const slots = doses.map((dose) => ({ dose, slot: slotOf(automaton, dose) }));
  const found = new Map<string, { readonly numbers: readonly number[]; readonly id: number }>();
  for (const { id, state } of [...reached].sort((a, b) => a.decisions - b.decisions)) {
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
  return all.map(({ numbers, id }) => ({
    id,
    isGreatest: !isExceeded(numbers),
    counts: new Map(
      slots.flatMap(({ dose }, at) => (numbers[at] ? [[dose, numbers[at] ?? 0] as const] : [])),
    ),
  }));
}

/** The dose whose giving began between two states. */
export function doseBegun(automaton: Automaton, before: State, after: State): string | undefined {
  const at = automaton.variables.findIndex(
    ({ name }, slot) =>
      doseOf(name) !== undefined &&
      (after[VARIABLES_FROM + slot] ?? 0) > (before[VARIABLES_FROM + slot] ?? 0),
  );
  return doseOf(automaton.variables[at]?.name ?? "");
}

function slotOf({ variables }: Automaton, dose: string): number {
  return VARIABLES_FROM + variables.findIndex(({ name }) => name === givenVariable(dose));
}
