import type { Automaton, ClockCondition, Edge, Limit } from "./automaton.ts";
import { type Slots, slotOf, slotsOf, type Test, testOf } from "./condition.ts";
import { INTERRUPTED, interruptedBy, LOCATION, locationOf, NOTHING, type State } from "./state.ts";

/** One thing that may happen in a state: the edge, and under what it may be taken there. */
export interface Move {
  readonly edge: number;
  /** All of these, beside the checks. */
  readonly guard: readonly ClockCondition[];
  readonly resets: readonly string[];
  readonly next: State;
  /** The checks whose conditions on variables are so: each is broken while its clocks are so. */
  readonly checks: readonly number[];
}

/** What may happen in a state, and how long time may pass in it. */
export interface Moves {
  readonly moves: readonly Move[];
  /** No time passes at all. */
  readonly isUrgent: boolean;
  /** Time passes up to each of these. */
  readonly deadlines: readonly Limit[];
  /** The checks of the place itself, as those of a move. */
  readonly checks: readonly number[];
}

/** Gives the moves of a state. It is the one place that says what an automaton means, but for time itself. */
export type MovesOf = (state: State) => Moves;

/** Gives what an edge does in a state, whether or not it may be taken there: for what was done all the same. */
export function forceMoves(automaton: Automaton): (state: State, edge: number) => Move | undefined {
  const { ready } = readyEdges(automaton);
  return (state, number) => {
    const edge = ready[number];
    return edge && moveOf(edge, state, [], [])[0];
  };
}

/** Makes an automaton ready to be stepped or explored. */
export function movesOf(automaton: Automaton): MovesOf {
  const { ready, checks } = readyEdges(automaton);
  const leaving: ReadyEdge[][] = automaton.locations.map(() => []);
  for (const edge of ready) for (const from of edge.edge.from) leaving[from]?.push(edge);
  const here = automaton.locations.map((location) => readyChecks(location.checks, checks));
  return (state) => {
    const at = locationOf(state);
    const location = automaton.locations[at];
    const possible = (leaving[at] ?? []).filter(({ when }) => !when || when(state));
    const due = possible.filter(({ edge }) => edge.due);
    const atMost = location?.atMost ?? [];
    return {
      moves: possible.flatMap((one) => moveOf(one, state, due, atMost)),
      isUrgent: location?.kind === "before" || due.some(isDueAtOnce),
      deadlines: [...atMost, ...due.flatMap(({ edge }) => edge.guard ?? [])],
      checks: (here[at] ?? []).flatMap(({ number, when }) => (!when || when(state) ? [number] : [])),
    };
  };
}

function readyEdges(automaton: Automaton) {
  const slots = slotsOf(automaton.variables);
  const checks = automaton.checks.map(({ when }) => when && testOf(when, slots));
  return { checks, ready: automaton.edges.map((edge, number) => readyEdge(edge, number, checks, slots)) };
}

interface ReadyEdge {
  readonly edge: Edge;
  readonly number: number;
  readonly when?: Test;
  readonly set: readonly {
    readonly slot: number;
    readonly to?: number;
    readonly plus: number;
    readonly when?: Test;
  }[];
  readonly reset: readonly { readonly clock: string; readonly when?: Test }[];
  readonly checks: readonly ReadyCheck[];
}

function readyEdge(
  edge: Edge,
  number: number,
  checks: readonly (Test | undefined)[],
  slots: Slots,
): ReadyEdge {
  const whenOf = ({ when }: Pick<Edge, "when">) => when && { when: testOf(when, slots) };
  return {
    edge,
    number,
    ...whenOf(edge),
    set: (edge.set ?? []).map(({ variable, to, plus = 0, ...rest }) => ({
      slot: slotOf(variable, slots),
      ...(to !== undefined && { to }),
      plus,
      ...whenOf(rest),
    })),
    reset: (edge.reset ?? []).map((one) => ({ clock: one.clock, ...whenOf(one) })),
    checks: readyChecks(edge.checks, checks),
  };
}

interface ReadyCheck {
  readonly number: number;
  readonly when?: Test;
}

function readyChecks(numbers: readonly number[] = [], tests: readonly (Test | undefined)[]): ReadyCheck[] {
  return numbers.map((number) => {
    const when = tests[number];
    return { number, ...(when && { when }) };
  });
}

function isDueAtOnce({ edge }: ReadyEdge): boolean {
  return (edge.guard ?? []).length === 0;
}

/** None where something that is due at once goes before it. */
function moveOf(one: ReadyEdge, state: State, due: readonly ReadyEdge[], atMost: readonly Limit[]): Move[] {
  if (!one.edge.due && due.some(isDueAtOnce)) return [];
  return [
    {
      edge: one.number,
      guard: [
        ...(one.edge.guard ?? []),
        ...(one.edge.due ? [] : due.flatMap(({ edge }) => (edge.guard ?? []).map(notYet))),
        ...(one.edge.inTime ? atMost.map((limit): ClockCondition => ({ ...limit, is: "at-most" })) : []),
      ],
      resets: one.reset.flatMap(({ clock, when }) => (!when || when(state) ? [clock] : [])),
      next: nextState(one, state),
      checks: one.checks.flatMap(({ number, when }) => (!when || when(state) ? [number] : [])),
    },
  ];
}

/** What is due is guarded by a clock that has reached a time; everything else happens before that. */
function notYet({ clock, seconds }: ClockCondition): ClockCondition {
  return { clock, is: "under", seconds };
}

function nextState({ edge, set }: ReadyEdge, state: State): State {
  const next = [...state];
  for (const { slot, to, plus, when } of set) {
    if (!when || when(state)) next[slot] = to ?? (state[slot] ?? 0) + plus;
  }
  if (edge.interrupts) next[INTERRUPTED] = locationOf(state);
  if (edge.to === "interrupted") {
    next[LOCATION] = interruptedBy(state);
    next[INTERRUPTED] = NOTHING;
  } else if (edge.to !== "same") {
    next[LOCATION] = edge.to;
  }
  if (edge.forgets) next[INTERRUPTED] = NOTHING;
  return next;
}
