import { addBounds, INFINITY, MOST_VALUE, negateBound, valueIn, ZERO } from "./bound.ts";
import { extrapolate } from "./extrapolation.ts";
import type { Extrapolation } from "./layout.ts";
import type { Move, Place } from "./unfolding.ts";
import { carryOver, constrain, copy, letTimePassWithin, type Zone } from "./zone.ts";
import { viewOf, type ZoneView } from "./zone-view.ts";

/** The entry into a place with every deadline still ahead. */
export const IN_TIME = -1;

/** The number of the last deadline that can be past on entering the place. */
export function lastPassed({ deadlines }: Place): number {
  return deadlines.length / 2 - 1;
}

/**
 * Computes successors in matrices of its own, which every call overwrites. A step is `leave`, then `enter`,
 * then `settle` once for each way of entering: in time, or past a deadline.
 */
export class Stepper {
  readonly #extrapolates: boolean;
  readonly #mayGoFar: boolean;
  readonly #tightened: Zone;
  readonly #entering: Zone;
  readonly #split: Zone;
  /** Where the points stand from which the last move was taken. */
  #leaving: Int32Array;
  #leavingAt = 0;
  #settled: Zone;
  #wentFar = false;

  /** `mostClocks`: the most a zone may have, with the reference clock and the total time. */
  constructor(extrapolation: Extrapolation, withTotalTime: boolean, mostClocks: number) {
    this.#extrapolates = extrapolation !== "none";
    this.#mayGoFar = withTotalTime || !this.#extrapolates;
    this.#tightened = new Int32Array(mostClocks * mostClocks);
    this.#entering = new Int32Array(mostClocks * mostClocks);
    this.#split = new Int32Array(mostClocks * mostClocks);
    this.#leaving = this.#tightened;
    this.#settled = this.#entering;
  }

  /** Whether a value came near the greatest that can be reckoned with: what was found since is of no use. */
  get wentFar(): boolean {
    return this.#wentFar;
  }

  /** What the last `settle` found. */
  get settled(): Zone {
    return this.#settled;
  }

  /** The points from which the last move was taken. */
  leaving(source: Place): ZoneView {
    return viewOf(source.layout, this.#leaving, this.#leavingAt);
  }

  /** Keeps of the zone at `at`, a zone of `source`, what may take the move. False when that is nothing. */
  leave(zones: Int32Array, at: number, source: Place, { guard, guardLength }: Move): boolean {
    const { size } = source.layout;
    let isTightened = false;
    for (let entry = 0; entry < guardLength; entry += 3) {
      const row = guard[entry] as number;
      const column = guard[entry + 1] as number;
      const limit = guard[entry + 2] as number;
      if (!isTightened) {
        if (limit >= (zones[at + row * size + column] as number)) continue;
        if (addBounds(limit, zones[at + column * size + row] as number) < ZERO) return false;
        copy(zones, at, this.#tightened, 0, size);
        isTightened = true;
      }
      if (!constrain(this.#tightened, size, row, column, limit)) return false;
    }
    this.#leaving = isTightened ? this.#tightened : zones;
    this.#leavingAt = isTightened ? 0 : at;
    return true;
  }

  /** Resets and renames the clocks; needs a `leave` that left something. */
  enter(source: Place, { origins, target }: Move): void {
    carryOver(
      this.#leaving,
      this.#leavingAt,
      source.layout.size,
      this.#entering,
      target.layout.size,
      origins,
    );
  }

  /** Enters a place, in which a run can start, with all clocks at 0. */
  start({ layout: { size } }: Place): void {
    this.#entering.fill(ZERO, 0, size * size);
  }

  /**
   * What was entered `passed`, and what it becomes by waiting: `IN_TIME`, or past the deadline of this number,
   * with those before it still ahead. False when that is nothing. In time comes first, and once.
   */
  settle(place: Place, passed: number): boolean {
    const { deadlines } = place;
    const { size, lower, upper } = place.layout;
    this.#settled = this.#entering;
    if (deadlines.length > 0) {
      copy(this.#entering, 0, this.#split, 0, size);
      this.#settled = this.#split;
      if (!splitOff(this.#split, place, passed)) return false;
    }
    const zone = this.#settled;
    if (passed === IN_TIME && place.timePasses) letTimePassWithin(zone, size, place.limits);
    if (this.#extrapolates) extrapolate(zone, size, lower, upper);
    if (this.#mayGoFar && isFar(zone, size)) this.#wentFar = true;
    return true;
  }
}

/** Keeps the points that enter in time, or past the deadline of this number and no earlier one. */
function splitOff(zone: Zone, { layout: { size }, deadlines }: Place, passed: number): boolean {
  const ahead = passed === IN_TIME ? deadlines.length : passed * 2;
  for (let entry = 0; entry < ahead; entry += 2) {
    if (!constrain(zone, size, deadlines[entry] as number, 0, deadlines[entry + 1] as number)) return false;
  }
  if (passed === IN_TIME) return true;
  return constrain(zone, size, 0, deadlines[ahead] as number, negateBound(deadlines[ahead + 1] as number));
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
