import type { Protocol, RunEvent, RunTimer } from "../rule-file/generated/rule-file.ts";
import type { AutomatonStep, Check } from "./automaton.ts";
import {
  againstStart,
  type BrokenRule,
  brokenNow,
  brokenRules,
  firstTimeWithout,
  isOnlyTooLate,
  ruleKey,
} from "./broken.ts";
import { slotsOf, testOf } from "./condition.ts";
import { eventOf } from "./events.ts";
import { clockAt, type Standing, whenReached } from "./machine.ts";
import type { Move } from "./moves.ts";
import { endOfStep, nextSteps, withEnded } from "./offer.ts";
import { deadlineOf, latestFor, type Passage, readyAt } from "./passage.ts";
import {
  edgesAhead,
  isBetweenSteps,
  isInEmergency,
  isOver,
  nameOfPlace,
  type Program,
  startsAStep,
} from "./program.ts";
import { locationOf, VARIABLES_FROM } from "./state.ts";

/** How a run stands at a time, if nothing is said before. */
export interface Due {
  readonly at: number;
  /** The step in hand, for a reader; missing between two steps and at the end. */
  readonly inHand?: string;
  /** The same as data. */
  readonly step?: AutomatonStep;
  readonly isOver: boolean;
  /** What is so: cuffs, bandage, cannula, drug, each in words. */
  readonly facts: Readonly<Record<string, string>>;
  readonly timers: readonly TimerReading[];
  /** What can be said next. */
  readonly next: readonly Next[];
  /** What happens by itself, if the step in hand lasts so long. */
  readonly coming: readonly { readonly says: string; readonly at: number }[];
  /** What should have been over, or have started, by now. */
  readonly overdue: readonly Overdue[];
  /** The rules that are broken by staying where the run is. */
  readonly alarms: readonly Alarm[];
}

/** Something that can come next, with the earliest and the latest time that the protocol allows. */
export interface Next {
  readonly event: RunEvent;
  /** Missing where a rule forbids it, however long one waits. */
  readonly from?: number;
  /** Missing without limit. */
  readonly to?: number;
  /** The rules that forbid it now. */
  readonly forbiddenBy: readonly BrokenRule[];
}

export interface Overdue {
  /** The step that should be over, or what should have started. */
  readonly says: string;
  /** When it was due. */
  readonly since: number;
}

export interface Alarm extends BrokenRule {
  /** When it began to be broken; missing where that is no matter of time. */
  readonly since?: number;
}

/** `passage` is the run with all that happened by itself until `at`. */
export function dueAt(program: Program, passage: Passage, at: number): Due {
  const { standing } = passage;
  const isBetween = isBetweenSteps(program, standing);
  const over = isOver(program, standing);
  const step = program.automaton.locations[locationOf(standing.state)]?.step;
  return {
    at,
    ...(!isBetween && !over && { inHand: nameOfPlace(program, standing) }),
    ...(step && { step }),
    isOver: over,
    facts: factsOf(program, standing),
    timers: readTimers(program, standing, at),
    next: [...nextHere(program, standing, at), ...nextAfterEnd(program, passage, at)],
    coming: comingOf(program, standing, at),
    overdue: overdueAt(program, standing, at),
    alarms: alarmsAt(program, standing, at),
  };
}

function factsOf({ automaton }: Program, { state }: Standing): Record<string, string> {
  return Object.fromEntries(
    automaton.variables.flatMap(({ name, values }, at) => {
      const words = values?.[state[VARIABLES_FROM + at] ?? 0];
      return words === undefined ? [] : [[name, words]];
    }),
  );
}

/** What can be said where the run is; a leak, which can be said at any time, is not listed. */
function nextHere(program: Program, standing: Standing, at: number): Next[] {
  return program.machine.movesAt(standing).moves.flatMap((move): Next[] => {
    const edge = program.automaton.edges[move.edge];
    const event = edge && eventOf(edge);
    if (!edge || !event || event.kind === "leak") return [];
    const ready = readyAt(program, standing, move);
    if (ready === undefined) return [];
    const latest = latestFor(program, standing, move);
    return [nextOf(program, standing, { move, event, latest }, Math.max(at, ready))];
  });
}

interface Possible {
  readonly move: Move;
  readonly event: RunEvent;
  readonly latest: number | undefined;
}

function nextOf(
  program: Program,
  standing: Standing,
  { move, event, latest }: Possible,
  ready: number,
): Next {
  const brokenAt = (time: number) =>
    event.kind === "start" ? againstStart(program, standing, move, time) : [];
  const from = firstTimeWithout(program, standing, ready, brokenAt);
  return {
    event,
    ...(from !== undefined && { from }),
    ...(latest !== undefined && { to: latest }),
    forbiddenBy: brokenRules(program, brokenAt(ready)),
  };
}

/** The steps that can start as the step in hand ends, where nobody has to say that it does. */
function nextAfterEnd(program: Program, passage: Passage, at: number): Next[] {
  const { standing } = passage;
  const end = endOfStep(program, passage);
  const ready = end && readyAt(program, standing, end);
  if (!end || ready === undefined) return [];
  const endsAt = Math.max(at, ready);
  const ended = withEnded(program, passage, endsAt);
  const latest = latestFor(program, standing, end);
  return (ended ? program.machine.movesAt(ended.standing).moves : []).flatMap((move): Next[] => {
    const edge = program.automaton.edges[move.edge];
    const event = edge && startsAStep(program, edge) ? eventOf(edge) : undefined;
    if (!ended || !event || readyAt(program, ended.standing, move) === undefined) return [];
    return [nextOf(program, ended.standing, { move, event, latest }, endsAt)];
  });
}

function comingOf(program: Program, standing: Standing, at: number): Due["coming"] {
  return program.machine.movesAt(standing).moves.flatMap((move) => {
    const edge = program.automaton.edges[move.edge];
    const ready = edge?.due ? readyAt(program, standing, move) : undefined;
    return edge && ready !== undefined && ready > at ? [{ says: edge.says, at: ready }] : [];
  });
}

function overdueAt(program: Program, standing: Standing, at: number): Overdue[] {
  if (isOver(program, standing)) return [];
  const isBetween = isBetweenSteps(program, standing);
  const limit = isBetween ? standing.at : deadlineOf(program, standing);
  if (limit === undefined || at <= limit) return [];
  const says = isBetween ? nextSteps(program, standing).join(" or ") : nameOfPlace(program, standing);
  return [{ says, since: limit }];
}

/** What must never be so where the run is, and what was to be done before a time that has passed. */
function alarmsAt(program: Program, standing: Standing, at: number): Alarm[] {
  const { automaton, machine } = program;
  const here = machine.brokenBy(standing, machine.movesAt(standing), at);
  const emergency = isInEmergency(program, locationOf(standing.state));
  const ahead = edgesAhead(program, standing.state)
    .map((number) => automaton.edges[number])
    .filter((edge) => edge?.from.some((from) => isInEmergency(program, from) === emergency))
    .flatMap((edge) => edge?.checks ?? [])
    .filter((number) => isOnlyTooLate(program, number));
  const broken = [...here, ...brokenNow(program, standing, ahead, at)];
  const alarms = broken.flatMap((number) =>
    brokenRules(program, [number]).map((rule) => alarmOf(program, standing, number, rule)),
  );
  return [...new Map(alarms.map((alarm) => [ruleKey(alarm), alarm])).values()];
}

function alarmOf({ automaton }: Program, standing: Standing, number: number, rule: BrokenRule): Alarm {
  const times = (automaton.checks[number]?.clocks ?? []).map((condition) => whenReached(condition, standing));
  return { ...rule, ...(times.length > 0 && { since: Math.max(...times) }) };
}

/** What a timer shows, and what rules ask of it. */
export interface TimerReading {
  readonly kind: RunTimer["kind"];
  /** Of a timer of the protocol. */
  readonly name?: string;
  /** How long it has run, in seconds; missing while it does not. */
  readonly seconds?: number;
  readonly bounds: readonly TimerBound[];
}

/** A time that a rule asks about: not to be done before it has passed, or only while it has not. */
export interface TimerBound {
  readonly rule: string;
  readonly is: "at-least" | "at-most";
  readonly seconds: number;
  /** When the timer shows that time; missing while it does not run. */
  readonly reachedAt?: number;
}

function readTimers(program: Program, standing: Standing, at: number): TimerReading[] {
  const slots = slotsOf(program.automaton.variables);
  return program.runs.timers.map((timer) => {
    const isRunning = testOf(timer.runs, slots)(standing.state);
    const bounds = boundsOf(program, timer).map((bound) =>
      isRunning
        ? { ...bound, reachedAt: whenReached({ clock: timer.clock, seconds: bound.seconds }, standing) }
        : bound,
    );
    return {
      kind: timer.kind,
      ...(timer.name !== undefined && { name: timer.name }),
      ...(isRunning && { seconds: clockAt(standing, timer.clock, at) }),
      bounds,
    };
  });
}

/** The bounds of a clock that checks ask for, each once, the shortest first. */
function boundsOf({ automaton, file }: Program, timer: RunTimer): TimerBound[] {
  const found = automaton.checks
    .filter((check) => isAbout(check, timer, file.protocol))
    .flatMap(({ rule, clocks = [] }) =>
      clocks.filter(({ clock }) => clock === timer.clock).map(({ is, seconds }) => ({ rule, is, seconds })),
    )
    .map(({ rule, is, seconds }): TimerBound => {
      // A check says when a rule is broken; the bound is the opposite.
      return { rule, is: is === "under" || is === "at-most" ? "at-least" : "at-most", seconds };
    });
  const each = new Map(found.map((bound) => [`${bound.rule} ${bound.is} ${bound.seconds}`, bound]));
  return [...each.values()].sort((a, b) => a.seconds - b.seconds);
}

/** A check about a timer of the protocol is of no other, though they show the same time. */
function isAbout({ about }: Check, { name }: RunTimer, { timers }: Protocol): boolean {
  const isOf = (timer: string) => about === timer || about?.startsWith(`${timer} `);
  return !timers.some((timer) => timer.name !== name && isOf(timer.name));
}
