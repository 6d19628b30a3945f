import { locationOf } from "@limbwright/shared/runtime";
import type { TracedAutomaton } from "./automaton/draft.ts";
import type { Run, StuckRun, StuckRuns } from "./runs.ts";
import type { ProtocolSystem } from "./system.ts";
import { leadingTo } from "./walk-back.ts";
import type { Exploration } from "./zones/explore.ts";
import type { Leg } from "./zones/path.ts";
import { findStuck } from "./zones/stuck.ts";

export interface StuckSetting {
  readonly system: ProtocolSystem;
  readonly traced: TracedAutomaton;
  readonly exploration: Exploration;
  /** The edges that some run takes. */
  readonly taken: ReadonlySet<number>;
  readonly isCancelled?: () => boolean;
  readonly mostNodes: number;
  /** A path as a run; `end` is how long it is waited after its last edge, in seconds from the beginning. */
  readonly run: (legs: readonly Leg[], end?: number) => Run;
}

/** Where runs can neither wait nor go on, and where they go on for ever without coming to an end. */
export function stuckRuns(setting: StuckSetting): StuckRuns {
  const { system, run, mostNodes, isCancelled } = setting;
  const { nodes } = system.graph;
  const search = findStuck(system, {
    mayEnd: (state) => nodes[state]?.state === undefined || isEnd(setting, state),
    isWayOn: (edge) => !isByChance(setting, edge),
    mostNodes,
    ...(isCancelled && { isCancelled }),
  });
  const waiting = search.stuck.map(({ state, path, times }) =>
    stuckRun(setting, state, "waits", run(path, times.end)),
  );
  const circling = findCircles(setting, new Set(search.stuck.map(({ state }) => state)));
  return {
    stuck: [...waiting, ...circling],
    ...(search.end !== "complete" && { limit: "not every state was looked at for a way forward" }),
  };
}

/** Nobody can count on an event to get on: it may never happen. */
function isByChance({ system, traced }: StuckSetting, id: number): boolean {
  const { move } = system.graph.meanings[id] ?? {};
  const edge = move && traced.automaton.edges[move.edge];
  return edge !== undefined && !edge.due && (edge.kind === "event" || edge.kind === "leak");
}

function isEnd({ system, traced }: StuckSetting, id: number): boolean {
  const state = system.graph.nodes[id]?.state;
  return state !== undefined && traced.automaton.locations[locationOf(state)]?.kind === "end";
}

/** One run for the first of the states from which no end is ever come to. */
function findCircles(setting: StuckSetting, stuck: ReadonlySet<number>): StuckRun[] {
  const { system, exploration, taken, run } = setting;
  const { nodes } = system.graph;
  const ends = [...exploration.states.keys()].filter(
    (id) => stuck.has(id) || nodes[id]?.state === undefined || isEnd(setting, id),
  );
  const comesToAnEnd = leadingTo(nodes, ends, ({ id }) => taken.has(id) && !isByChance(setting, id));
  const [first] = [...exploration.states].filter(([id]) => !comesToAnEnd.has(id));
  if (!first) return [];
  const [state, node] = first;
  return [stuckRun(setting, state, "circles", run(exploration.pathTo(node)))];
}

function stuckRun({ system, traced }: StuckSetting, id: number, how: StuckRun["how"], run: Run): StuckRun {
  const state = system.graph.nodes[id]?.state;
  const at = state ? locationOf(state) : 0;
  const entering = traced.automaton.edges.findIndex(({ from }) => from.includes(at));
  const origin = run.steps.findLast((step) => step.origin)?.origin ?? traced.edgeOrigins[entering];
  if (!origin) throw new Error("a run is stuck before its first step");
  return { origin, says: traced.automaton.locations[at]?.name ?? "", how, run };
}
