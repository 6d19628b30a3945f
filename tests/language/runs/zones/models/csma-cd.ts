import type { Constraint, TimedEdge, TimedSystem } from "../../../../../language/runs/zones/timed-system.ts";

/** How long a signal takes across the bus, and a message; the usual parameters in microseconds, from memory. */
const ACROSS = 26;
const MESSAGE = 808;

const IDLE = 0;
const ACTIVE = 1;
const COLLIDED = 2;
const BUS_KINDS = 3;

const SILENT = 0;
const SENDING = 1;
const RETRYING = 2;
const STATION_KINDS = 3;

/**
 * The carrier sense protocol with collision detection (a standard model in the field, from memory): stations
 * share a bus. One that wants to send begins when it finds the bus free, or waits and tries again; two that
 * begin within the time a signal takes across the bus collide, and all are told at once.
 *
 * Clock 1 is the bus's, clock 1 + n that of station n. A discrete state is where the bus stands, followed by the
 * stations, as digits.
 */
export function carrierSense(stations: number): TimedSystem {
  const numbers = Array.from({ length: stations }, (_, at) => at + 1);
  const bounds = (state: number, bus: (kind: number) => number, station: (kind: number) => number) =>
    Int32Array.of(0, bus(state % BUS_KINDS), ...numbers.map((number) => station(standing(state, number))));
  return {
    clockCount: stations + 1,
    initial: 0,
    edgesFrom: (state) => [
      ...numbers.flatMap((number) => edgesOfOne(state, number)),
      ...(state % BUS_KINDS === COLLIDED ? edgesOfAll(state, numbers) : []),
    ],
    invariantOf: (state) => [
      ...(state % BUS_KINDS === COLLIDED ? [under(1, ACROSS)] : []),
      ...numbers.flatMap((number) => stationInvariant(standing(state, number), number + 1)),
    ],
    deadlinesOf: () => [],
    isUrgent: () => false,
    lowerBoundsOf: (state) =>
      bounds(
        state,
        (bus) => (bus === ACTIVE ? ACROSS : -1),
        (station) => (station === SENDING ? MESSAGE : -1),
      ),
    upperBoundsOf: (state) =>
      bounds(
        state,
        (bus) => (bus === IDLE ? -1 : ACROSS),
        (station) => [-1, MESSAGE, 2 * ACROSS][station] ?? -1,
      ),
  };
}

function stationInvariant(kind: number, clock: number): Constraint[] {
  if (kind === SENDING) return [{ clock, kind: "at-most", limit: MESSAGE }];
  return kind === RETRYING ? [under(clock, 2 * ACROSS)] : [];
}

/** What one station does with the bus. */
function edgesOfOne(state: number, number: number): TimedEdge[] {
  const bus = state % BUS_KINDS;
  const kind = standing(state, number);
  const clock = number + 1;
  const own = kind === RETRYING ? [under(clock, 2 * ACROSS)] : [];
  const edge = (toBus: number, to: number, guard: Constraint[], resets: number[]): TimedEdge => ({
    id: number,
    target: state + (toBus - bus) + (to - kind) * place(number),
    guard,
    resets,
    isDecision: false,
  });
  if (kind === SENDING) {
    const isSent: Constraint[] = [
      { clock, kind: "at-least", limit: MESSAGE },
      { clock, kind: "at-most", limit: MESSAGE },
    ];
    return bus === ACTIVE ? [edge(IDLE, SILENT, isSent, [1, clock])] : [];
  }
  if (bus === IDLE) return [edge(ACTIVE, SENDING, own, [1, clock])];
  if (bus === COLLIDED) return [];
  const isHeard: Constraint = { clock: 1, kind: "at-least", limit: ACROSS };
  return [
    edge(COLLIDED, SENDING, [...own, under(1, ACROSS)], [1, clock]),
    edge(ACTIVE, RETRYING, [...own, isHeard], [clock]),
  ];
}

/** All stations are told of a collision: each that was silent may go on so, or try for itself. */
function edgesOfAll(state: number, numbers: readonly number[]): TimedEdge[] {
  let targets = [state - COLLIDED + IDLE];
  const guard = [under(1, ACROSS)];
  for (const number of numbers) {
    const kind = standing(state, number);
    const retrying = (RETRYING - kind) * place(number);
    if (kind === SENDING) guard.push(under(number + 1, ACROSS));
    if (kind === RETRYING) guard.push(under(number + 1, 2 * ACROSS));
    targets = targets.flatMap((target) =>
      kind === SILENT ? [target, target + retrying] : [target + retrying],
    );
  }
  const resets = [1, ...numbers.map((number) => number + 1)];
  return targets.map((target) => ({ id: 0, target, guard, resets, isDecision: false }));
}

function under(clock: number, limit: number): Constraint {
  return { clock, kind: "under", limit };
}

function place(number: number): number {
  return BUS_KINDS * STATION_KINDS ** (number - 1);
}

function standing(state: number, number: number): number {
  return Math.floor(state / place(number)) % STATION_KINDS;
}
