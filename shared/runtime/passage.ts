import type { AutomatonStep, EdgeKind } from "./automaton.ts";
import { type BrokenRule, brokenRules } from "./broken.ts";
import { isSo, type Standing, standingAfter, whenReached } from "./machine.ts";
import type { Move } from "./moves.ts";
import { isBetweenSteps, type Program, startsAStep } from "./program.ts";
import { locationOf } from "./state.ts";

/** Something that happened in a run. */
export interface Happening {
  readonly at: number;
  readonly kind: EdgeKind;
  /** The step, event or answer in the words of the protocol, for a reader. */
  readonly says: string;
  /** The step that starts, ends or is answered. */
  readonly step?: AutomatonStep;
  /** Its place among the edges of the file's automaton, by which `origins` tells where it is written. */
  readonly edge: number;
  /** The rules that it broke. */
  readonly breaks: readonly BrokenRule[];
}

/** How far a run has come, and what happened on the way. */
export interface Passage {
  readonly standing: Standing;
  readonly happenings: readonly Happening[];
}

/**
 * What happens by itself. `must`: what is due, and what takes no time between two steps. `fixed`: also the end
 * of a step whose time is fixed. `shortest`: steps start at once, and end as soon as they may; only a task
 * without a longest time, and a question, wait for somebody.
 */
export type Pace = "must" | "fixed" | "shortest";

/** The next thing that happens by itself, and when. */
export interface Coming {
  readonly move: Move;
  readonly at: number;
}

/** Lets happen what happens by itself, one thing after another, as long as `goesOn` says so of the next. */
export function passOn(
  program: Program,
  passage: Passage,
  pace: Pace,
  goesOn: (coming: Coming, passage: Passage) => boolean,
): Passage {
  const seen = new Set<string>();
  let now = passage;
  for (;;) {
    const coming = comingBy(program, now.standing, pace);
    if (!coming || !goesOn(coming, now)) return now;
    now = take(program, now, coming.move, coming.at);
    // A file that somebody made up could go round in circles without any time passing.
    const key = `${now.standing.at} ${now.standing.state.join(" ")}`;
    if (seen.has(key)) return now;
    seen.add(key);
  }
}

/** The same of all that has to happen by a time. */
export function passUntil(program: Program, passage: Passage, at: number): Passage {
  return passOn(program, passage, "must", (coming) => coming.at <= at);
}

/** Makes a move at a time, whatever its guard says. */
export function take(program: Program, { standing, happenings }: Passage, move: Move, at: number): Passage {
  const edge = program.automaton.edges[move.edge];
  const happening: Happening = {
    at,
    kind: edge?.kind ?? "pass",
    says: edge?.says ?? "",
    ...(edge?.step && { step: edge.step }),
    edge: move.edge,
    breaks: brokenRules(program, program.machine.brokenBy(standing, move, at)),
  };
  return { standing: standingAfter(standing, move, at), happenings: [...happenings, happening] };
}

/** When a move can be made at the earliest, by its own guard; undefined where waiting does not help. */
export function readyAt({ automaton }: Program, standing: Standing, { edge }: Move): number | undefined {
  const guard = automaton.edges[edge]?.guard ?? [];
  const earliest = guard.map((condition) => {
    if (condition.is === "at-least") return whenReached(condition, standing);
    return condition.is === "over" ? whenReached(condition, standing) + 1 : standing.at;
  });
  const at = Math.max(standing.at, ...earliest);
  return guard.every((condition) => isSo(condition, standing, at)) ? at : undefined;
}

/**
 * When the step in hand has to be over; undefined without limit. A handler can have taken so long that this is
 * past as it returns.
 */
export function deadlineOf({ automaton }: Program, standing: Standing): number | undefined {
  const limits = automaton.locations[locationOf(standing.state)]?.atMost ?? [];
  return limits.length === 0 ? undefined : Math.min(...limits.map((limit) => whenReached(limit, standing)));
}

/** The latest time for a move where the run is; one that is not bound to the deadline may be made at once. */
export function latestFor(program: Program, standing: Standing, { edge }: Move): number | undefined {
  if (isBetweenSteps(program, standing)) return standing.at;
  const deadline = deadlineOf(program, standing);
  const isBound = program.automaton.edges[edge]?.inTime;
  return deadline === undefined || isBound ? deadline : Math.max(standing.at, deadline);
}

/** What happens next by itself; undefined where somebody has to say something first. */
export function comingBy(program: Program, standing: Standing, pace: Pace): Coming | undefined {
  const { moves } = program.machine.movesAt(standing);
  const all = moves.flatMap((move): Coming[] => {
    const at = byItself(program, standing, move, pace) ? readyAt(program, standing, move) : undefined;
    return at === undefined ? [] : [{ move, at }];
  });
  // What is due goes before all else of the same moment.
  const rank = ({ move, at }: Coming) => [at, program.automaton.edges[move.edge]?.due ? 0 : 1] as const;
  return all.reduce<Coming | undefined>((first, one) => {
    const [[at, due], [bestAt, bestDue]] = [rank(one), first ? rank(first) : [Number.POSITIVE_INFINITY, 1]];
    return at < bestAt || (at === bestAt && due < bestDue) ? one : first;
  }, undefined);
}

function byItself(program: Program, standing: Standing, move: Move, pace: Pace): boolean {
  const edge = program.automaton.edges[move.edge];
  if (!edge || edge.kind === "leak") return false;
  if (edge.due) return true;
  if (isBetweenSteps(program, standing)) {
    return !edge.decision && (pace === "shortest" || !startsAStep(program, edge));
  }
  if (edge.kind !== "end" || pace === "must") return false;
  if (pace === "shortest") return !edge.decision || hasOwnLongest(program, standing);
  return !edge.decision && isFixed(program, standing, move);
}

/** Whether the step in hand itself has a longest time, and not only the stage that it is in. */
function hasOwnLongest({ automaton }: Program, { state }: Standing): boolean {
  const here = locationOf(state);
  const own = automaton.edges
    .filter(({ kind, to }) => kind === "start" && to === here)
    .flatMap(({ reset = [] }) => reset.filter(({ when }) => !when).map(({ clock }) => clock));
  return (automaton.locations[here]?.atMost ?? []).some(({ clock }) => own.includes(clock));
}

/** Whether the step in hand has to end as soon as it may. */
function isFixed(program: Program, standing: Standing, move: Move): boolean {
  const deadline = deadlineOf(program, standing);
  const ready = readyAt(program, standing, move);
  return deadline !== undefined && ready !== undefined && ready >= deadline;
}
