import type { RunEvent } from "../rule-file/generated/rule-file.ts";
import type { Edge } from "./automaton.ts";
import {
  againstStart,
  type BrokenRule,
  brokenByStart,
  brokenNow,
  brokenRules,
  firstTimeWithout,
  isOnlyTooLate,
} from "./broken.ts";
import { isOf } from "./events.ts";
import { isSo, type Standing } from "./machine.ts";
import type { Move } from "./moves.ts";
import { latestFor, type Passage, passUntil, readyAt, take } from "./passage.ts";
import {
  edgesAhead,
  isBetweenSteps,
  isInEmergency,
  isOver,
  nameOfPlace,
  type Program,
  startsAStep,
} from "./program.ts";
import { type Refusal, wordsOfRefusal } from "./refusal.ts";
import { atLocation, locationOf } from "./state.ts";

export type Offering =
  | {
      readonly kind: "accepted";
      readonly passage: Passage;
      /** The rules that it breaks all the same: because it is late, or because it cannot be refused. */
      readonly rules: readonly BrokenRule[];
      readonly late?: number;
    }
  | (Refusal & {
      readonly kind: "refused";
      /** The run when it is done all the same; missing where that leads nowhere that the protocol knows. */
      readonly anyway?: Passage;
    });

/** Tries an event on a run. Time passes up to `at` first, with what happens by itself until then. */
export function tryEvent(program: Program, from: Passage, event: RunEvent, at: number): Offering {
  if (at < from.standing.at) return refuse(program, from, event, at, { because: "in-the-past", rules: [] });
  const passage = passUntil(program, from, at);
  const direct = movesFor(program, passage, event, at);
  if (direct) {
    const late = lateness(program, passage, direct, at);
    return make(program, passage, { event, move: direct, at, late, before: passage });
  }
  const end = event.kind === "start" ? endOfStep(program, passage) : undefined;
  const ended = end && withEnded(program, passage, at);
  const move = ended && movesFor(program, ended, event, at);
  return move
    ? make(program, ended, { event, move, at, late: lateness(program, passage, end, at), before: passage })
    : notNext(program, passage, event, at);
}

/** The run with the step in hand ended at a time, as far as that is no decision of its own and may be. */
export function withEnded(program: Program, passage: Passage, at: number): Passage | undefined {
  const end = endOfStep(program, passage);
  if (!end || (readyAt(program, passage.standing, end) ?? at + 1) > at) return undefined;
  return passUntil(program, take(program, passage, end, at), at);
}

/** How the step in hand ends, where nobody has to say so. */
export function endOfStep(program: Program, { standing }: Passage): Move | undefined {
  if (isBetweenSteps(program, standing)) return undefined;
  return program.machine.movesAt(standing).moves.find(({ edge }) => {
    const { kind, due, decision } = program.automaton.edges[edge] ?? {};
    return kind === "end" && !due && !decision;
  });
}

/** The move of an event from where the run is: one whose guard is so, if there are several. */
function movesFor(program: Program, { standing }: Passage, event: RunEvent, at: number): Move | undefined {
  const moves = program.machine.movesAt(standing).moves.filter(({ edge }) => {
    const of = program.automaton.edges[edge];
    return of !== undefined && !of.due && isOf(of, event);
  });
  return moves.find((move) => isReady(program, { standing }, move, at)) ?? moves[0];
}

function isReady(
  program: Program,
  { standing }: Pick<Passage, "standing">,
  { edge }: Move,
  at: number,
): boolean {
  return (program.automaton.edges[edge]?.guard ?? []).every((condition) => isSo(condition, standing, at));
}

interface Making {
  readonly event: RunEvent;
  readonly move: Move;
  readonly at: number;
  readonly late: number;
  /** The run before the step in hand ended, where the start of the next one ends it. */
  readonly before: Passage;
}

/** Makes a move that is there: unless it comes too early, or would break a rule as a step starts. */
function make(program: Program, passage: Passage, { event, move, at, late, before }: Making): Offering {
  const { standing } = passage;
  const after = () => passUntil(program, take(program, passage, move, at), at);
  if (!isReady(program, passage, move, at)) {
    const from = readyAt(program, standing, move);
    const rest = {
      because: "too-early",
      rules: [],
      ...(from !== undefined && { from }),
      anyway: after(),
    } as const;
    return refuse(program, passage, event, at, rest);
  }
  const brokenAt = (time: number) =>
    event.kind === "start" ? againstStart(program, standing, move, time) : [];
  const broken = brokenAt(at);
  if (broken.length === 0) return accept(before, after(), late);
  const from = firstTimeWithout(program, standing, at, brokenAt);
  return refuse(program, passage, event, at, {
    because: "breaks-a-rule",
    rules: brokenRules(program, broken),
    ...(from !== undefined && { from }),
    anyway: after(),
  });
}

/** Nothing is made impossible by coming late: what was to be over by then is, and is said to be late. */
function accept(before: Passage, passage: Passage, late: number): Offering {
  const since = passage.happenings.slice(before.happenings.length);
  const rules = since.flatMap(({ breaks }) => breaks);
  return { kind: "accepted", passage, rules, ...(late > 0 && { late }) };
}

/** How long after its latest time a move is made. */
function lateness(program: Program, { standing }: Passage, move: Move, at: number): number {
  return at - (latestFor(program, standing, move) ?? at);
}

function notNext(program: Program, passage: Passage, event: RunEvent, at: number): Offering {
  const { standing } = passage;
  if (isOver(program, standing)) return refuse(program, passage, event, at, { because: "over", rules: [] });
  if (event.kind === "start") return startNotNext(program, passage, event, at);
  if (event.kind === "end") return refuse(program, passage, event, at, { because: "not-next", rules: [] });
  const started = isBetweenSteps(program, standing) ? withStarted(program, passage, at) : undefined;
  const strikes = started && movesFor(program, started, event, at);
  if (!strikes) return refuse(program, passage, event, at, { because: "not-provided-for", rules: [] });
  const anyway = passUntil(program, take(program, started, strikes, at), at);
  return refuse(program, passage, event, at, { because: "between-steps", rules: [], anyway });
}

/** The run with the one step started that can be, if it breaks nothing. */
function withStarted(program: Program, passage: Passage, at: number): Passage | undefined {
  const starts = program.machine.movesAt(passage.standing).moves.filter(({ edge }) => {
    const of = program.automaton.edges[edge];
    return of !== undefined && startsAStep(program, of);
  });
  const [only, another] = starts.filter((move) => isReady(program, passage, move, at));
  if (!only || another || againstStart(program, passage.standing, only, at).length > 0) return undefined;
  return take(program, passage, only, at);
}

/**
 * A step that is not what comes next: by a rule, where one would be broken; as too early, where the step in hand
 * only has to last long enough; else as not what comes next. The last two name the rules that it breaks by being late.
 */
function startNotNext(program: Program, passage: Passage, event: RunEvent, at: number): Offering {
  const { standing } = passage;
  const takingIt = brokenByTaking(program, standing, event);
  const brokenAt = (time: number) => takingIt(time).filter((check) => !isOnlyTooLate(program, check));
  const broken = brokenAt(at);
  if (broken.length > 0) {
    const from = firstTimeWithout(program, standing, at, brokenAt);
    return refuse(program, passage, event, at, {
      because: "breaks-a-rule",
      rules: brokenRules(program, broken),
      ...(from !== undefined && { from }),
    });
  }
  const rules = brokenRules(program, takingIt(at));
  const end = endOfStep(program, passage);
  const ready = end && readyAt(program, standing, end);
  const ended = ready !== undefined && ready > at ? withEnded(program, passage, ready) : undefined;
  if (ready === undefined || !ended || !movesFor(program, ended, event, ready)) {
    return refuse(program, passage, event, at, { because: "not-next", rules });
  }
  return refuse(program, passage, event, at, { because: "too-early", rules, from: ready });
}

/** What a step that is not next would break if it were taken where the run stands, by the time. */
export function brokenByTaking(
  program: Program,
  standing: Standing,
  event: RunEvent,
): (at: number) => readonly number[] {
  const number = nearestStart(program, standing, event);
  const { from: [place = 0] = [], checks = [] } = program.automaton.edges[number] ?? {};
  const there = { ...standing, state: atLocation(program.automaton, standing.state, place) };
  const move = program.machine.movesAt(there).moves.find(({ edge }) => edge === number);
  if (!move) return (at) => brokenNow(program, standing, checks, at);
  return (at) => brokenByStart(program, standing, move, at, there);
}

/** The edge of the nearest place ahead where the step is written, or of any place of the same kind; -1 where there is none. */
function nearestStart(program: Program, { state }: Standing, event: RunEvent): number {
  const { edges } = program.automaton;
  const here = isInEmergency(program, locationOf(state));
  const isWanted = (number: number) => {
    const edge = edges[number];
    const isLikeHere = edge?.from.some((at) => isInEmergency(program, at) === here);
    return edge !== undefined && isLikeHere && isOf(edge, event);
  };
  return edgesAhead(program, state).find(isWanted) ?? [...edges.keys()].find(isWanted) ?? -1;
}

function refuse(
  program: Program,
  { standing }: Passage,
  event: RunEvent,
  at: number,
  refusal: Omit<Extract<Offering, { kind: "refused" }>, "words" | "kind">,
): Offering {
  const isBetween = isBetweenSteps(program, standing);
  const place = {
    ...(!isBetween && { inHand: nameOfPlace(program, standing) }),
    next: isBetween ? nextSteps(program, standing) : [],
    at: standing.at,
  };
  return { kind: "refused", ...refusal, words: wordsOfRefusal(event, at, refusal, place) };
}

/** What can come between two steps: the next step, or the answers to a question. */
export function nextEdges({ machine, automaton }: Program, standing: Standing): Edge[] {
  return machine.movesAt(standing).moves.flatMap(({ edge }) => automaton.edges[edge] ?? []);
}

/** The same for a reader. */
export function nextSteps(program: Program, standing: Standing): string[] {
  return nextEdges(program, standing).map(({ says }) => says);
}
