import { type Standing, standingAfter, whenReached } from "./machine.ts";
import type { Move } from "./moves.ts";
import type { Program } from "./program.ts";

/** A rule that would be broken, or was. */
export interface BrokenRule {
  readonly rule: string;
  /** Tells apart what one rule looks at: a timer, a cuff, or the place of a requirement in the protocol. */
  readonly about?: string;
}

/** Tells rules apart by what they look at. */
export function ruleKey(rule: BrokenRule | undefined): string {
  return `${rule?.rule} ${rule?.about ?? ""}`;
}

/** The rules of some checks, each once. */
export function brokenRules({ automaton }: Program, checks: readonly number[]): BrokenRule[] {
  const rules = checks.flatMap((number): [string, BrokenRule][] => {
    const check = automaton.checks[number];
    if (!check) return [];
    const { rule, about } = check;
    return [[ruleKey(check), { rule, ...(about !== undefined && { about }) }]];
  });
  return [...new Map(rules).values()];
}

/**
 * The checks that a start at a time would break: its own, and those of the place that it leads to, if not already
 * broken where the run stands. `from` is where the step is written, for one that is not what comes next.
 */
export function brokenByStart(
  { machine }: Program,
  standing: Standing,
  move: Move,
  at: number,
  from: Standing = standing,
): number[] {
  const after = standingAfter(from, move, at);
  const before = machine.brokenBy(standing, machine.movesAt(standing), at);
  const there = machine.brokenBy(after, machine.movesAt(after), at);
  return [...machine.brokenBy(from, move, at), ...there.filter((check) => !before.includes(check))];
}

/**
 * The checks that stand against a start. One that is broken only because it is too late does not: nothing is
 * mended by not doing it.
 */
export function againstStart(program: Program, standing: Standing, move: Move, at: number): number[] {
  return brokenByStart(program, standing, move, at).filter((check) => !isOnlyTooLate(program, check));
}

/** Whether a check is broken once clocks have passed their times, and stays so. */
export function isOnlyTooLate({ automaton }: Program, check: number): boolean {
  const clocks = automaton.checks[check]?.clocks ?? [];
  return clocks.length > 0 && clocks.every(({ is }) => is === "over" || is === "at-least");
}

/**
 * The first time from `at` on at which nothing is broken; undefined where waiting does not help. What is broken
 * changes only when a clock reaches a time of some check.
 */
export function firstTimeWithout(
  { automaton }: Program,
  standing: Standing,
  at: number,
  brokenAt: (at: number) => readonly number[],
): number | undefined {
  const now = brokenAt(at);
  if (now.length === 0) return at;
  const times = automaton.checks
    .flatMap(({ clocks = [] }) => clocks)
    .map((condition) => whenReached(condition, standing))
    .flatMap((time) => [time, time + 1])
    .filter((time) => time > at);
  return [...new Set(times)].sort((a, b) => a - b).find((time) => brokenAt(time).length === 0);
}

/** Those of some checks, asked in the present state, that are broken at a time. */
export function brokenNow(
  program: Program,
  standing: Standing,
  checks: readonly number[],
  at: number,
): readonly number[] {
  return program.machine.brokenBy(standing, { checks: program.askedIn(standing.state, checks) }, at);
}
