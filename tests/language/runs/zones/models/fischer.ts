import type { TimedEdge, TimedSystem } from "../../../../../language/runs/zones/timed-system.ts";

const IDLE = 0;
const REQUESTING = 1;
const WAITING = 2;
const CRITICAL = 3;
const KINDS = 4;
/** How long a request may take, and how long is waited for it to be overruled. */
const DELAY = 10;

/**
 * Fischer's mutual exclusion (standard in the field, from memory): processes share one variable, which names
 * one of them or nobody. A process that finds nobody named requests, names itself within 10, waits for over
 * 10, and enters its critical section if it is still the one named; else it may start over.
 *
 * A discrete state is who is named, followed by where each process stands, as digits.
 */
export function fischer(processes: number): TimedSystem {
  const bound = (state: number, kind: number): Int32Array =>
    Int32Array.from([0, ...clocks(processes)], (clock) =>
      clock > 0 && standing(state, clock) === kind ? DELAY : -1,
    );
  return {
    clockCount: processes,
    initial: 0,
    edgesFrom: (state) => clocks(processes).flatMap((process) => edgesOf(processes, state, process)),
    invariantOf: (state) =>
      clocks(processes)
        .filter((clock) => standing(state, clock) === REQUESTING)
        .map((clock) => ({ clock, kind: "at-most", limit: DELAY })),
    deadlinesOf: () => [],
    isUrgent: () => false,
    lowerBoundsOf: (state) => bound(state, WAITING),
    upperBoundsOf: (state) => bound(state, REQUESTING),
  };
}

/** Whether two processes are in their critical sections at once, which never happens. */
export function isBroken(processes: number, state: number): boolean {
  return clocks(processes).filter((process) => standing(state, process) === CRITICAL).length > 1;
}

function edgesOf(processes: number, state: number, process: number): TimedEdge[] {
  const named = Math.floor(state / KINDS ** processes);
  const edge = (name: number, to: number, rest: Partial<TimedEdge> = {}): TimedEdge => ({
    id: process * KINDS + to,
    target: state + (name - named) * KINDS ** processes + (to - standing(state, process)) * place(process),
    guard: [],
    resets: [],
    isDecision: false,
    ...rest,
  });
  switch (standing(state, process)) {
    case IDLE:
      return named === 0 ? [edge(0, REQUESTING, { resets: [process] })] : [];
    case REQUESTING:
      return [edge(process, WAITING, { resets: [process] })];
    case WAITING:
      return [
        ...(named === process
          ? [edge(named, CRITICAL, { guard: [{ clock: process, kind: "over", limit: DELAY }] })]
          : []),
        ...(named === 0 ? [edge(0, REQUESTING, { resets: [process] })] : []),
      ];
    default:
      return [edge(0, IDLE)];
  }
}

/** A process has the clock of its number. */
function clocks(processes: number): number[] {
  return Array.from({ length: processes }, (_, index) => index + 1);
}

function place(process: number): number {
  return KINDS ** (process - 1);
}

function standing(state: number, process: number): number {
  return Math.floor(state / place(process)) % KINDS;
}
