import type { RuleFile, RunsExplored } from "../rule-file/generated/rule-file.ts";
import { type Automaton, type Edge, isEmergency } from "./automaton.ts";
import { slotsOf, testOf } from "./condition.ts";
import { type Machine, machineOf, type Standing } from "./machine.ts";
import { interruptedBy, locationOf, type State } from "./state.ts";

/** A rule file made ready to be followed. */
export interface Program {
  readonly file: RuleFile;
  readonly runs: RunsExplored;
  readonly automaton: Automaton;
  readonly machine: Machine;
  /** Those of some checks that are asked at all in a state, wherever they belong. */
  readonly askedIn: (state: State, checks: readonly number[]) => readonly number[];
  /** For each location, the edges by which a run goes on from it, whatever happens to it besides. */
  readonly goingOn: readonly (readonly number[])[];
}

export function programOf(file: RuleFile, runs: RunsExplored): Program {
  const automaton: Automaton = runs.automaton;
  const slots = slotsOf(automaton.variables);
  const tests = automaton.checks.map(({ when }) => when && testOf(when, slots));
  return {
    file,
    runs,
    automaton,
    machine: machineOf(automaton),
    askedIn: (state, checks) => checks.filter((number) => tests[number]?.(state) ?? true),
    goingOn: goingOnIn(automaton),
  };
}

function goingOnIn({ locations, edges }: Automaton): number[][] {
  const goingOn = locations.map((): number[] => []);
  for (const [number, { kind, from }] of edges.entries()) {
    if (kind !== "event" && kind !== "leak") for (const at of from) goingOn[at]?.push(number);
  }
  return goingOn;
}

/** Whether an edge begins a step that is then in hand; a stage or an emergency begins by itself. */
export function startsAStep({ automaton }: Pick<Program, "automaton">, { kind, to }: Edge): boolean {
  return kind === "start" && typeof to === "number" && automaton.locations[to]?.kind === "during";
}

/** Whether the run is between two steps, where no time passes in the protocol. */
export function isBetweenSteps({ automaton }: Program, { state }: Standing): boolean {
  return automaton.locations[locationOf(state)]?.kind === "before";
}

export function isOver({ automaton }: Pick<Program, "automaton">, { state }: Standing): boolean {
  return automaton.locations[locationOf(state)]?.kind === "end";
}

/** The step in hand, or what the run is before. */
export function nameOfPlace({ automaton }: Program, { state }: Standing): string {
  return automaton.locations[locationOf(state)]?.name ?? "";
}

export function isInEmergency({ automaton }: Program, location: number): boolean {
  return isEmergency(automaton.locations[location]?.phase ?? "end");
}

/**
 * The edges that lie ahead of a state, the nearest first, as if no condition stood in the way. What only
 * happens to a team, an event or a leak, leads no further.
 */
export function edgesAhead({ automaton, goingOn }: Program, state: State): number[] {
  const found = new Set<number>();
  const places = new Set([locationOf(state)]);
  // A set gives what is added while it is gone through, too.
  for (const at of places) {
    for (const number of goingOn[at] ?? []) {
      found.add(number);
      places.add(targetOf(automaton.edges[number]?.to ?? "same", at, state));
    }
  }
  return [...found];
}

function targetOf(to: Edge["to"], at: number, state: State): number {
  if (to === "same") return at;
  return to === "interrupted" ? interruptedBy(state) : to;
}
