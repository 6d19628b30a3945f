import type { Automaton, Check, ClockCondition, Limit } from "./automaton.ts";
import { type Move, type Moves, movesOf } from "./moves.ts";
import { firstState, type State } from "./state.ts";

/** Where a run is at one moment. Times count in seconds from its beginning. */
export interface Standing {
  readonly state: State;
  readonly at: number;
  /** When each clock last began to count. */
  readonly began: Readonly<Record<string, number>>;
}

/** Why an edge cannot be taken now. */
export type NotTaken =
  /** Nobody is where that could be done. */
  | { readonly kind: "not-here" }
  /** It could be done later, or could have been done earlier. */
  | { readonly kind: "not-now"; readonly from?: number }
  /** Something else has to happen before that time: what is in hand ends, or something is due. */
  | { readonly kind: "overdue"; readonly until: number }
  /** Doing it now would break rules; `from` is the time from which it breaks none, where there is one. */
  | { readonly kind: "breaks"; readonly checks: readonly number[]; readonly from?: number };

/** Steps an automaton through real times. It has no clock of its own and keeps no state between calls. */
export interface Machine {
  readonly automaton: Automaton;
  readonly start: () => Standing;
  readonly movesAt: (standing: Standing) => Moves;
  /** Takes an edge at a time; checks are not asked. */
  readonly take: (standing: Standing, edge: number, at: number) => Standing | NotTaken;
  /** The checks that taking the move at that time would break. */
  readonly brokenBy: (standing: Standing, move: Pick<Move, "checks">, at: number) => readonly number[];
  /** The span of time in which a move can be taken, from now on; undefined where there is none. */
  readonly spanOf: (standing: Standing, move: Move) => Span | undefined;
  /** The last moment to which time may pass; undefined without limit. */
  readonly lastMoment: (standing: Standing) => number | undefined;
}

/** From `from` to `to`, which belongs to it unless `open`; without end where `to` is missing. */
export interface Span {
  readonly from: number;
  /** Whether the first moment itself is too early. */
  readonly after?: true;
  readonly to?: number;
  readonly open?: true;
}

export function machineOf(automaton: Automaton): Machine {
  const moves = movesOf(automaton);
  const movesAt = (standing: Standing) => moves(standing.state);
  const lastMoment = (standing: Standing) => lastMomentOf(standing, movesAt(standing));
  const spanOf = (standing: Standing, { guard }: Move) => spanFor(standing, guard, lastMoment(standing));
  return {
    automaton,
    start: () => ({
      state: firstState(automaton),
      at: 0,
      began: Object.fromEntries(automaton.clocks.map((clock) => [clock, 0])),
    }),
    movesAt,
    lastMoment,
    spanOf,
    brokenBy: (standing, { checks }, at) =>
      checks.filter((number) => {
        const check = automaton.checks[number];
        return check !== undefined && isBroken(check, standing, at);
      }),
    take: (standing, edge, at) => {
      const last = lastMoment(standing);
      if (last !== undefined && at > Math.max(last, standing.at)) return { kind: "overdue", until: last };
      const move = movesAt(standing).moves.find((one) => one.edge === edge);
      if (!move) return { kind: "not-here" };
      if (at < standing.at || !move.guard.every((condition) => isSo(condition, standing, at))) {
        const span = spanOf(standing, move);
        return { kind: "not-now", ...(span && { from: span.from }) };
      }
      return standingAfter(standing, move, at);
    },
  };
}

/** What a move leads to at a time, whether or not it may be made then. */
export function standingAfter({ began }: Standing, { next, resets }: Move, at: number): Standing {
  const restarted = Object.fromEntries(resets.map((clock) => [clock, at]));
  return { state: next, at, began: { ...began, ...restarted } };
}

/** How long a clock has counted at a time. */
export function clockAt({ began }: Standing, clock: string, at: number): number {
  return at - (began[clock] ?? 0);
}

export function isSo(condition: ClockCondition, standing: Standing, at: number): boolean {
  return isMet(condition, clockAt(standing, condition.clock, at));
}

/** Whether a length of time is what a condition asks for. */
export function isMet({ is, seconds }: Omit<ClockCondition, "clock">, length: number): boolean {
  switch (is) {
    case "at-most":
      return length <= seconds;
    case "under":
      return length < seconds;
    case "at-least":
      return length >= seconds;
    case "over":
      return length > seconds;
  }
}

/** The part of a check that asks clocks; that it is asked at all says that its variables are so. */
export function isBroken({ clocks = [] }: Pick<Check, "clocks">, standing: Standing, at: number): boolean {
  return clocks.every((condition) => isSo(condition, standing, at));
}

function lastMomentOf(standing: Standing, { isUrgent, deadlines }: Moves): number | undefined {
  if (isUrgent) return standing.at;
  const times = deadlines.map((limit) => whenReached(limit, standing));
  return times.length === 0 ? undefined : Math.max(standing.at, Math.min(...times));
}

/** When a clock shows that time, if it is not reset before. */
export function whenReached({ clock, seconds }: Limit, { began }: Standing): number {
  return (began[clock] ?? 0) + seconds;
}

function spanFor(
  standing: Standing,
  guard: readonly ClockCondition[],
  last: number | undefined,
): Span | undefined {
  let span: Span = { from: standing.at, ...(last !== undefined && { to: last }) };
  for (const condition of guard) span = narrowSpan(span, condition, whenReached(condition, standing));
  if (span.to === undefined) return span;
  const isPoint = span.to === span.from;
  return span.to < span.from || (isPoint && (span.open || span.after)) ? undefined : span;
}

function narrowSpan(span: Span, { is }: ClockCondition, time: number): Span {
  const { from, after, to, open } = span;
  switch (is) {
    case "at-least":
      return time > from ? { from: time, ...ending(to, open) } : span;
    case "over":
      return time >= from ? { from: time, after: true, ...ending(to, open) } : span;
    case "at-most":
      return to === undefined || time < to ? { from, ...(after && { after }), to: time } : span;
    case "under":
      return to === undefined || time <= to ? { from, ...(after && { after }), to: time, open: true } : span;
  }
}

function ending(to: number | undefined, open: true | undefined): Pick<Span, "to" | "open"> {
  return { ...(to !== undefined && { to }), ...(open && { open }) };
}
