import type { Protocol, RunTimer } from "../rule-file/generated/rule-file.ts";
import type { Check } from "./automaton.ts";
import { slotsOf, testOf } from "./condition.ts";
import { clockAt, type Standing, whenReached } from "./machine.ts";
import type { Program } from "./program.ts";

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

export function readTimers(program: Program, standing: Standing, at: number): TimerReading[] {
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
