import { INFINITY, MOST_VALUE, negated, valueIn, ZERO } from "./bound.ts";
import { extrapolate } from "./extrapolation.ts";
import type { Extrapolation, Move, Place } from "./unfolding.ts";
import { carryOver, constrain, letTimePassWithin, type Zone } from "./zone.ts";

/** The entry into a place with every deadline still ahead. */
export const IN_TIME = -1;

/**
 * Computes successors in matrices of its own, which every call overwrites. A step is `leave`, then `enter`,
 * then `settle` once for each way of entering: in time, or past a deadline.
 */
export class Stepper {
  readonly #extrapolates: boolean;
  readonly #mayGoFar: boolean;
  readonly #leaving: Zone;
  readonly #entering: Zone;
  readonly #settled: Zone;
  #wentFar = false;

  /** `mostClocks`: the most a zone may have, with the reference clock and the total time. */
  constructor(extrapolation: Extrapolation, withTotalTime: boolean, mostClocks: number) {
    this.#extrapolates = extrapolation !== "none";
    this.#mayGoFar = withTotalTime || !this.#extrapolates;
    this.#leaving = new Int32Array(mostClocks * mostClocks);
    this.#entering = new Int32Array(mostClocks * mostClocks);
    this.#settled = new Int32Array(mostClocks * mostClocks);
  }

  /** The points from which the last move was taken, by the indexes of its source. */
  get leaving(): Zone {
    return this.#leaving;
  }

  /** Whether a value came near the greatest that can be reckoned with: what was found since is of no use. */
  get wentFar(): boolean {
    return this.#wentFar;
  }

  /** What the last `settle` found. */
  get settled(): Zone {
    return this.#settled;
  }

  /** Keeps of the zone at `at`, a zone of `source`, what may take the move. False when that is nothing. */
  leave(zones: Int32Array, at: number, source: Place, { guard }: Move): boolean {
    const { size } = source;
    const zone = this.#leaving;
    for (let entry = 0; entry < size * size; entry += 1) zone[entry] = zones[at + entry] as number;
    for (let entry = 0; entry < guard.length; entry += 3) {
      const [row, column, limit] = [guard[entry], guard[entry + 1], guard[entry + 2]];
      if (!constrain(zone, size, row as number, column as number, limit as number)) return false;
    }
    return true;
  }

  /** Resets and renames the clocks; needs a `leave` that left something. */
  enter(source: Place, { origins }: Move): void {
    carryOver(this.#leaving, 0, source.size, this.#entering, origins);
  }

  /** Enters a place, in which a run can start, with all clocks at 0. */
  start({ size }: Place): void {
    this.#entering.fill(ZERO, 0, size * size);
  }

  /**
   * What was entered `passed`, and what it becomes by waiting: `IN_TIME`, or past the deadline of this number,
   * with those before it still ahead. False when that is nothing.
   */
  settle(place: Place, passed: number): boolean {
    const { size, deadlines } = place;
    const zone = this.#settled;
    for (let entry = 0; entry < size * size; entry += 1) zone[entry] = this.#entering[entry] as number;
    const kept = passed === IN_TIME ? deadlines.length : passed * 2;
    for (let entry = 0; entry < kept; entry += 2) {
      if (!constrain(zone, size, deadlines[entry] as number, 0, deadlines[entry + 1] as number)) return false;
    }
    if (passed !== IN_TIME) {
      const limit = negated(deadlines[kept + 1] as number);
      if (!constrain(zone, size, 0, deadlines[kept] as number, limit)) return false;
    } else if (place.timePasses) {
      letTimePassWithin(zone, size, place.limits);
    }
    if (this.#extrapolates) extrapolate(zone, size, place.lower, place.upper);
    if (this.#mayGoFar && isFar(zone, size)) this.#wentFar = true;
    return true;
  }
}

/** The ways of entering a place, first in time. */
export function lastPassed({ deadlines }: Place): number {
  return deadlines.length / 2 - 1;
}

/** Values stay below an eighth of the greatest, and limits too: no sum of a few overflows. */
function isFar(zone: Zone, size: number): boolean {
  const far = MOST_VALUE >> 3;
  for (let entry = 0; entry < size * size; entry += 1) {
    const packed = zone[entry] as number;
    if (packed !== INFINITY && Math.abs(valueIn(packed)) > far) return true;
  }
  return false;
}
