import { type FiniteLocation, systemOf } from "../../../../../language/runs/zones/finite-system.ts";
import type { Constraint, TimedSystem } from "../../../../../language/runs/zones/timed-system.ts";

/** Clocks: since the present step began, since the interruption began, since the timer was started. */
const STEP = 1;
const INTERRUPTION = 2;
const TIMER = 3;

/** All in seconds, invented; of the size that such times have. */
const SHORTEST = 600;
const LONGEST = 3_600;

/**
 * A chain of timed steps as in a protocol, with interruptions that may come at any instant of a step and then
 * return to it. The step's time goes on meanwhile; one whose longest time is over on return ends at once. A
 * timer starts at a quarter of the way; the last step waits for it, and ends it.
 */
export function stepwise(steps: number, interruptions: number): TimedSystem {
  const locations: FiniteLocation[] = [];
  for (let step = 0; step < steps; step += 1) locations.push(stepLocation(step, steps, interruptions));
  for (let number = 0; number < interruptions; number += 1) {
    for (let step = 0; step < steps; step += 1) locations.push(interruptionLocation(number, step));
  }
  locations.push({ invariant: [], deadlines: [], isUrgent: true, edges: [] });
  return systemOf({ clockCount: TIMER, initial: 0, locations });
}

function stepLocation(step: number, steps: number, interruptions: number): FiniteLocation {
  const isLast = step === steps - 1;
  const shortest = 10 + 5 * (step % 4);
  const done: Constraint[] = [{ clock: STEP, kind: "at-least", limit: shortest }];
  if (isLast) done.push({ clock: TIMER, kind: "at-least", limit: SHORTEST });
  const begins = step + 1 === Math.floor(steps / 4) ? [STEP, TIMER] : [STEP];
  const edges = Array.from({ length: interruptions }, (_, number) => ({
    id: number + 1,
    target: steps * (number + 1) + step,
    guard: [],
    resets: [INTERRUPTION],
    isDecision: true,
  }));
  const next = isLast ? steps * (interruptions + 1) : step + 1;
  edges.unshift({ id: 0, target: next, guard: done as never[], resets: begins, isDecision: true });
  const latest: Constraint = isLast
    ? { clock: TIMER, kind: "at-most", limit: LONGEST }
    : { clock: STEP, kind: "at-most", limit: 3 * shortest };
  return { invariant: [], deadlines: [latest], isUrgent: false, edges };
}

function interruptionLocation(number: number, step: number): FiniteLocation {
  const shortest = 60 + 30 * (number % 4);
  return {
    invariant: [],
    deadlines: [{ clock: INTERRUPTION, kind: "at-most", limit: 2 * shortest }],
    isUrgent: false,
    edges: [
      {
        id: 0,
        target: step,
        guard: [{ clock: INTERRUPTION, kind: "at-least", limit: shortest }],
        resets: [],
        isDecision: true,
      },
    ],
  };
}
