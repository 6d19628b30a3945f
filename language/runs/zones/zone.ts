import { addBounds, INFINITY, ZERO } from "./bound.ts";

/**
 * A zone is the set of clock values that satisfy bounds on all differences of two clocks, kept as a matrix in
 * rows: entry `row * size + column` bounds clock `row` minus clock `column`. Clock 0 is the reference and is
 * always 0; `size` counts it. A matrix is closed when no bound can be tightened without losing a point; two
 * closed matrices are equal exactly when their zones are. Unless said otherwise, functions need a closed matrix of a
 * zone with points, change it in place, and leave it closed.
 */
export type Zone = Int32Array;

/** Any values of the clocks, none of them negative. */
export function unboundedZone(size: number): Zone {
  const zone = new Int32Array(size * size).fill(INFINITY);
  for (let clock = 0; clock < size; clock += 1) {
    zone[clock * size + clock] = ZERO;
    zone[clock] = ZERO;
  }
  return zone;
}

/** Adds one bound on clock `row` minus clock `column`. False when no point is left; the matrix is then of no use. */
export function constrain(zone: Zone, size: number, row: number, column: number, limit: number): boolean {
  const at = row * size + column;
  if (limit >= (zone[at] as number)) return true;
  if (addBounds(limit, zone[column * size + row] as number) < ZERO) return false;
  zone[at] = limit;
  for (let other = 0; other < size; other += 1) {
    const toRow = zone[other * size + row] as number;
    if (toRow === INFINITY) continue;
    const toColumn = toRow + limit - ((toRow | limit) & 1);
    // Where the new bound does not tighten the way to `column`, it tightens nothing behind it.
    if (other === row || toColumn < (zone[other * size + column] as number)) {
      tightenRow(zone, other * size, column * size, size, toColumn);
    }
  }
  return true;
}

/** Each bound of the row at `target` becomes at most `first` plus that of the row at `source`. */
function tightenRow(zone: Zone, target: number, source: number, size: number, first: number): void {
  for (let column = 0; column < size; column += 1) {
    const second = zone[source + column] as number;
    if (second === INFINITY) continue;
    const through = first + second - ((first | second) & 1);
    if (through < (zone[target + column] as number)) zone[target + column] = through;
  }
}

/** All that can be reached by waiting. */
export function letTimePass(zone: Zone, size: number): void {
  for (let row = size; row < size * size; row += size) zone[row] = INFINITY;
}

/**
 * All that can be reached by waiting no longer than `limits` allow: pairs of a clock and its greatest value as
 * a bound. Every point must satisfy them to begin with.
 */
export function letTimePassWithin(zone: Zone, size: number, limits: readonly number[]): void {
  letTimePass(zone, size);
  if (limits.length === 0) return;
  for (let row = size; row < size * size; row += size) {
    let greatest = INFINITY;
    for (let at = 0; at < limits.length; at += 2) {
      const through = addBounds(zone[row + (limits[at] as number)] as number, limits[at + 1] as number);
      if (through < greatest) greatest = through;
    }
    // A way to the reference clock takes one limit only, as it ends there: this closes the matrix again.
    zone[row] = greatest;
    if (greatest !== INFINITY) tightenRow(zone, row, 0, size, greatest);
  }
}

/** All from which some point can be reached by waiting, with no clock below 0. */
export function letTimeRunBack(zone: Zone, size: number): void {
  for (let column = 1; column < size; column += 1) {
    let least = ZERO;
    for (let row = 1; row < size; row += 1) {
      const difference = zone[row * size + column] as number;
      if (difference < least) least = difference;
    }
    zone[column] = least;
  }
}

/** Closes any matrix. False when the zone has no points; the matrix is then of no use. */
export function close(zone: Zone, size: number): boolean {
  for (let middle = 0; middle < size; middle += 1) {
    for (let row = 0; row < size; row += 1) {
      const first = zone[row * size + middle] as number;
      if (first !== INFINITY && row !== middle) tightenRow(zone, row * size, middle * size, size, first);
    }
    if ((zone[middle * size + middle] as number) < ZERO) return false;
  }
  return hasPoints(zone, size);
}

function hasPoints(zone: Zone, size: number): boolean {
  for (let clock = 0; clock < size; clock += 1) {
    if ((zone[clock * size + clock] as number) < ZERO) return false;
  }
  return true;
}

/** Whether the zone at `outerAt` in its array contains the one at `innerAt`; both of the same size. */
export function includes(
  outer: Int32Array,
  outerAt: number,
  inner: Int32Array,
  innerAt: number,
  size: number,
): boolean {
  const length = size * size;
  for (let at = 0; at < length; at += 1) {
    if ((outer[outerAt + at] as number) < (inner[innerAt + at] as number)) return false;
  }
  return true;
}

/** Copies the zone at `sourceAt` to `targetAt`. */
export function copy(
  source: Int32Array,
  sourceAt: number,
  target: Int32Array,
  targetAt: number,
  size: number,
): void {
  for (let at = 0; at < size * size; at += 1) target[targetAt + at] = source[sourceAt + at] as number;
}

/**
 * Writes to `target`, a zone of `size`, the zone at `sourceAt` with its clocks renamed, dropped or reset: clock `n` of the target
 * takes over clock `origins[n]`; origin 0, the reference clock, means that it is reset. `origins[0]` is 0.
 */
export function carryOver(
  source: Int32Array,
  sourceAt: number,
  sourceSize: number,
  target: Zone,
  size: number,
  origins: Int32Array,
): void {
  for (let row = 0; row < size; row += 1) {
    const sourceRow = sourceAt + (origins[row] as number) * sourceSize;
    for (let column = 0; column < size; column += 1) {
      target[row * size + column] = source[sourceRow + (origins[column] as number)] as number;
    }
  }
}
