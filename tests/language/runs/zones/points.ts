import fc from "fast-check";
import { bound, INFINITY, isStrict, valueIn } from "../../../../language/runs/zones/bound.ts";
import { constrain, unboundedZone, type Zone } from "../../../../language/runs/zones/zone.ts";

/** Two clocks and the reference: every kind of bound, and few enough points to look at them all. */
export const SIZE = 3;
/** Points and waits are counted in so many parts of a unit. */
export const PARTS = 8;
const MOST = 7;
/** Bounds lie well inside the points looked at. */
const MOST_BOUND = 3;

/** Values of the clocks, in parts; [0], the reference clock, is 0. */
export type Point = readonly number[];

/** All points on a grid of quarters: with two clocks, some are in every zone with bounds as small as these. */
export const GRID: readonly Point[] = gridOf(2, MOST);
/** Finer and wider: where a value of one clock on the coarser grid has any of the other, it has one here. */
export const FINE_GRID: readonly Point[] = gridOf(1, 2 * MOST);

/** Waits on a finer grid: between any two points at which a bound is met there is one. */
export const WAITS: readonly number[] = Array.from({ length: MOST * PARTS + 1 }, (_, wait) => wait);

export function contains(zone: Zone, point: Point): boolean {
  return point.every((left, row) =>
    point.every((right, column) => isWithin(left - right, zone[row * SIZE + column] ?? INFINITY)),
  );
}

export function isWithin(difference: number, packed: number): boolean {
  const limit = valueIn(packed) * PARTS;
  return packed === INFINITY || difference < limit || (difference === limit && !isStrict(packed));
}

export function pointsOf(zone: Zone, grid = GRID): Point[] {
  return grid.filter((point) => contains(zone, point));
}

/** Points so many parts apart, up to so many units. */
function gridOf(step: number, most: number): Point[] {
  const values = Array.from({ length: (most * PARTS) / step + 1 }, (_, at) => at * step);
  return values.flatMap((first) => values.map((second) => [0, first, second]));
}

/** A bound on one clock minus another. */
export interface Bound {
  readonly row: number;
  readonly column: number;
  readonly limit: number;
}

export const bounds: fc.Arbitrary<Bound> = fc
  .record({
    row: fc.nat(SIZE - 1),
    step: fc.integer({ min: 1, max: SIZE - 1 }),
    value: fc.integer({ min: -MOST_BOUND, max: MOST_BOUND }),
    strict: fc.boolean(),
  })
  .map(({ row, step, value, strict }) => ({
    row,
    column: (row + step) % SIZE,
    limit: bound(value, strict),
  }));

/** Closed zones with points. */
export const zones: fc.Arbitrary<Zone> = fc.array(bounds, { maxLength: 6 }).map((list) => {
  let zone = unboundedZone(SIZE);
  for (const { row, column, limit } of list) {
    const tighter = zone.slice();
    if (constrain(tighter, SIZE, row, column, limit)) zone = tighter;
  }
  return zone;
});
