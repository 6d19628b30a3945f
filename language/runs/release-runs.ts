import { isOver, type Machine, type Move, type Span, type Standing } from "@limbwright/shared/runtime";
import type { TracedAutomaton } from "./automaton/draft.ts";
import { HOLD } from "./automaton/facts.ts";
import { concreteRun, type TimedMove, UnreplayableRun } from "./concrete-run.ts";
import type { EnvelopeSearch, FoundRelease } from "./envelope.ts";
import type { ReleaseRuns, Run } from "./runs.ts";
import { movesWithTimes, type ProtocolSystem } from "./system.ts";
import type { Exploration } from "./zones/explore.ts";
import type { Constraint } from "./zones/timed-system.ts";

interface Explored {
  readonly traced: TracedAutomaton;
  readonly system: ProtocolSystem;
  readonly exploration: Exploration;
  readonly envelope: EnvelopeSearch;
  readonly machine: Machine;
}

/** The runs behind the earliest and the latest release. */
export function releaseRuns(explored: Explored): ReleaseRuns {
  const { earliest, latest } = explored.envelope.releases();
  const first = earliest && runTo(explored, earliest, "at-most");
  const last = latest && runTo(explored, latest, "at-least");
  return { ...(first && { earliest: first }), ...(last && { latest: last }) };
}

/** The run that takes the release when its clock shows that time; the next whole second where it only comes near. */
function runTo(explored: Explored, found: FoundRelease, kind: "at-most" | "at-least"): Run | undefined {
  const { system, exploration, traced, machine } = explored;
  const { seconds, attained } = found;
  const limit = attained ? seconds : seconds + (kind === "at-most" ? 1 : -1);
  const hold: Constraint = { clock: traced.automaton.clocks.indexOf(HOLD) + 1, kind, limit };
  const edge = { ...found.edge, guard: [...found.edge.guard, hold] };
  const before = exploration.pathTo(found.node);
  // How many deadlines of where it leads are past by then is not known from the search: each is tried.
  const ways = [-1, ...system.deadlinesOf(edge.target).keys()];
  for (const passed of ways) {
    const moves = movesWithTimes(system, [...before, { edge, passed }]);
    if (moves) return replayMoves(explored, [...moves, ...goToEnd(machine, moves)]);
  }
  return undefined;
}

/** No run is shown that cannot be followed step by step. */
function replayMoves({ machine, traced }: Explored, moves: readonly TimedMove[]): Run | undefined {
  try {
    return concreteRun(machine, traced, moves);
  } catch (error) {
    if (error instanceof UnreplayableRun) return undefined;
    throw error;
  }
}

/** More moves than any plan has after its release. */
const MOST_MOVES = 300;

/** How a run goes on to its end if nothing happens: each step as short as it may be. */
function goToEnd(machine: Machine, moves: readonly TimedMove[]): TimedMove[] {
  let standing: Standing | undefined = moves.reduce(
    (before: Standing | undefined, { edge, at }) =>
      before && edge !== undefined ? takeEdge(machine, before, edge, at) : before,
    machine.start(),
  );
  const more: TimedMove[] = [];
  while (standing && more.length < MOST_MOVES && !isOver(machine, standing)) {
    const next = earliestMove(machine, standing);
    if (!next) break;
    more.push(next);
    standing = takeEdge(machine, standing, next.edge, next.at);
  }
  return more;
}

function takeEdge(machine: Machine, standing: Standing, edge: number, at: number): Standing | undefined {
  const next = machine.take(standing, edge, at);
  return "kind" in next ? undefined : next;
}

function earliestMove(machine: Machine, standing: Standing): (TimedMove & { edge: number }) | undefined {
  const { automaton } = machine;
  const mayHappen = ({ edge }: Move) => !BY_CHANCE.has(automaton.edges[edge]?.kind ?? "event");
  const possible = machine.movesAt(standing).moves.flatMap((move) => {
    const span = mayHappen(move) ? machine.spanOf(standing, move) : undefined;
    return span ? [{ edge: move.edge, at: firstOf(span) }] : [];
  });
  return possible.sort((a, b) => a.at - b.at)[0];
}

/** What nobody of the team does. */
const BY_CHANCE: ReadonlySet<string> = new Set(["event", "leak"]);

/** The first whole second of a span, or its middle where it has none. */
function firstOf({ from, after, to }: Span): number {
  if (!after) return from;
  return to === undefined || from + 1 <= to ? from + 1 : (from + to) / 2;
}
