import type { Leg } from "../../../../language/runs/zones/path.ts";
import type { Constraint, TimedSystem } from "../../../../language/runs/zones/timed-system.ts";
import type { TraceTimes } from "../../../../language/runs/zones/trace-times.ts";

/** Where a run stands: the discrete state and the value of every clock; [0] is always 0. */
export interface Standing {
  readonly state: number;
  readonly clocks: readonly number[];
}

/**
 * Takes the edges at the times and looks at every condition as the semantics say it, with nothing of the
 * engine. Throws when the run is not allowed; gives where it ends. Times and clocks count `parts` of a unit:
 * whole numbers of them, and binary fractions, are exact.
 */
export function replay(
  system: TimedSystem,
  path: readonly Leg[],
  { times, end }: TraceTimes,
  parts = 1,
): Standing {
  let now = 0;
  let standing: Standing = { state: system.initial, clocks: new Array(system.clockCount + 1).fill(0) };
  const demand = (constraints: readonly Constraint[], what: string): void => {
    for (const constraint of constraints) {
      const value = standing.clocks[constraint.clock] ?? Number.NaN;
      if (!holds({ ...constraint, limit: constraint.limit * parts }, value)) {
        throw new Error(`${what} does not hold: ${JSON.stringify(constraint)} at ${value}/${parts}`);
      }
    }
  };
  const waitUntil = (time: number): void => {
    const { state, clocks } = standing;
    if (time === now) return;
    if (!(time > now)) throw new Error(`${time} comes before ${now}`);
    if (system.isUrgent(state)) throw new Error(`time passes in the urgent state ${state}`);
    standing = { state, clocks: clocks.map((value, clock) => (clock === 0 ? 0 : value + time - now)) };
    now = time;
    demand([...system.invariantOf(state), ...system.deadlinesOf(state)], `the limit of waiting in ${state}`);
  };
  demand(system.invariantOf(standing.state), "the first invariant");
  path.forEach(({ edge }, at) => {
    waitUntil(times[at] ?? Number.NaN);
    demand(edge.guard, `the guard of edge ${edge.id}`);
    const clocks = standing.clocks.map((value, clock) => (edge.resets.includes(clock) ? 0 : value));
    standing = { state: edge.target, clocks };
    demand(system.invariantOf(standing.state), `the invariant after edge ${edge.id}`);
  });
  waitUntil(end);
  return standing;
}

/** Whether a clock's value satisfies the constraint. */
function holds({ kind, limit }: Constraint, value: number): boolean {
  switch (kind) {
    case "at-most":
      return value <= limit;
    case "under":
      return value < limit;
    case "at-least":
      return value >= limit;
    case "over":
      return value > limit;
  }
}
