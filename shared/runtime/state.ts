import { type Automaton, isHandling } from "./automaton.ts";

/** Where a run is, all but the clocks: location, the location interrupted (or -1), then every variable. */
export type State = readonly number[];

export const LOCATION = 0;
export const INTERRUPTED = 1;
/** The place of the first variable in a state. */
export const VARIABLES_FROM = 2;
/** In the place of an interrupted location when no handler runs. */
export const NOTHING = -1;

export function firstState(automaton: Automaton): State {
  return [automaton.initial, NOTHING, ...automaton.variables.map(({ first }) => first)];
}

export function locationOf(state: State): number {
  return state[LOCATION] ?? 0;
}

/** The same state as if the run were somewhere else; in a handler, if it is, that interrupted where the run is. */
export function atLocation({ locations }: Automaton, state: State, location: number): State {
  const interrupted = interruptedBy(state) === NOTHING ? locationOf(state) : interruptedBy(state);
  const isInHandler = isHandling(locations[location]?.phase ?? "end");
  return state.with(LOCATION, location).with(INTERRUPTED, isInHandler ? interrupted : NOTHING);
}

export function interruptedBy(state: State): number {
  return state[INTERRUPTED] ?? NOTHING;
}
