import type { Condition } from "./automaton.ts";
import { interruptedBy, locationOf, type State, VARIABLES_FROM } from "./state.ts";

/** A condition made ready to be asked many times. */
export type Test = (state: State) => boolean;

/** Where each variable stands in a state, by its name. */
export type Slots = ReadonlyMap<string, number>;

export function slotsOf(variables: readonly { readonly name: string }[]): Slots {
  return new Map(variables.map(({ name }, at) => [name, VARIABLES_FROM + at]));
}

/** Throws where the condition names a variable that does not exist. */
export function testOf(condition: Condition, slots: Slots): Test {
  if ("all" in condition) {
    const tests = condition.all.map((one) => testOf(one, slots));
    return (state) => tests.every((test) => test(state));
  }
  if ("any" in condition) {
    const tests = condition.any.map((one) => testOf(one, slots));
    return (state) => tests.some((test) => test(state));
  }
  if ("not" in condition) {
    const test = testOf(condition.not, slots);
    return (state) => !test(state);
  }
  if ("at" in condition) {
    const among = new Set(condition.at);
    return (state) => among.has(locationOf(state));
  }
  if ("interrupted" in condition) {
    const among = new Set(condition.interrupted);
    return (state) => among.has(interruptedBy(state));
  }
  const slot = slotOf(condition.variable, slots);
  if ("is" in condition) {
    const { is } = condition;
    return (state) => state[slot] === is;
  }
  const { atLeast } = condition;
  return (state) => (state[slot] ?? 0) >= atLeast;
}

export function slotOf(variable: string, slots: Slots): number {
  const slot = slots.get(variable);
  if (slot === undefined) throw new Error(`the automaton has no variable ${variable}`);
  return slot;
}
