import fc from "fast-check";
import { expect, test } from "vitest";
import { addBounds, bound, INFINITY, negateBound, ZERO } from "../../../../language/runs/zones/bound.ts";
import { extrapolate } from "../../../../language/runs/zones/extrapolation.ts";
import { subtract } from "../../../../language/runs/zones/stuck.ts";
import {
  carryOver,
  close,
  constrain,
  includes,
  letTimePass,
  letTimePassWithin,
  letTimeRunBack,
  unboundedZone,
  type Zone,
} from "../../../../language/runs/zones/zone.ts";
import { firstSeed, howMany } from "../../../questions.ts";
import {
  bounds,
  contains,
  FINE_GRID,
  GRID,
  isWithin,
  PARTS,
  type Point,
  pointsOf,
  SIZE,
  WAITS,
  zones,
} from "./points.ts";

const RUNS = { seed: firstSeed(), numRuns: howMany(500) };

function shifted(point: Point, wait: number): Point {
  return point.map((value, clock) => (clock === 0 ? 0 : value + wait));
}

function covers(outer: Zone, inner: Zone): boolean {
  return includes(outer, 0, inner, 0, SIZE);
}

/** Nothing can be tightened in a closed matrix. */
function expectClosed(zone: Zone): void {
  const closed = zone.slice();
  expect(close(closed, SIZE)).toBe(true);
  expect(closed).toEqual(zone);
}

test("a sum of bounds is strict when one of them is, and without end when one of them is", () => {
  expect(addBounds(bound(3, false), bound(-5, false))).toBe(bound(-2, false));
  expect(addBounds(bound(3, true), bound(-5, false))).toBe(bound(-2, true));
  expect(addBounds(bound(3, true), bound(4, true))).toBe(bound(7, true));
  expect(addBounds(INFINITY, bound(-5, true))).toBe(INFINITY);
});

test("a difference satisfies a bound or, turned round, its negation", () => {
  fc.assert(
    fc.property(bounds, fc.integer({ min: -60, max: 60 }), ({ limit }, difference) => {
      expect(isWithin(-difference, negateBound(limit))).toBe(!isWithin(difference, limit));
    }),
    RUNS,
  );
});

test("closing keeps the points, finds out when there are none, and changes nothing the second time", () => {
  const matrices = fc.array(bounds, { maxLength: 8 }).map((list) => {
    const zone = unboundedZone(SIZE);
    for (const { row, column, limit } of list) {
      const at = row * SIZE + column;
      zone[at] = Math.min(zone[at] ?? INFINITY, limit);
    }
    return zone;
  });
  let empty = 0;
  fc.assert(
    fc.property(matrices, (matrix) => {
      const points = pointsOf(matrix);
      const closed = matrix.slice();
      const hasPoints = close(closed, SIZE);
      expect(hasPoints).toBe(points.length > 0);
      if (!hasPoints) {
        empty += 1;
        return;
      }
      expect(pointsOf(closed)).toEqual(points);
      expectClosed(closed);
    }),
    RUNS,
  );
  expect(empty).toBeGreaterThan(5);
});

test("adding a bound keeps exactly the points that satisfy it", () => {
  fc.assert(
    fc.property(zones, bounds, (zone, { row, column, limit }) => {
      const points = pointsOf(zone).filter((point) =>
        isWithin((point[row] ?? 0) - (point[column] ?? 0), limit),
      );
      const tighter = zone.slice();
      expect(constrain(tighter, SIZE, row, column, limit)).toBe(points.length > 0);
      if (points.length === 0) return;
      expect(pointsOf(tighter)).toEqual(points);
      expectClosed(tighter);
    }),
    RUNS,
  );
});

test("letting time pass gives the points that a wait leads to", () => {
  fc.assert(
    fc.property(zones, (zone) => {
      const later = zone.slice();
      letTimePass(later, SIZE);
      for (const point of GRID) {
        const isLedTo = WAITS.some((wait) => contains(zone, shifted(point, -wait)));
        expect(contains(later, point)).toBe(isLedTo);
      }
      expectClosed(later);
    }),
    { ...RUNS, numRuns: 40 },
  );
});

test("letting time pass within limits gives the later points that satisfy them", () => {
  const limits = fc.array(bounds, { maxLength: 3 });
  fc.assert(
    fc.property(zones, limits, (start, list) => {
      const upper = list.map(({ row, column, limit }) => ({ clock: Math.max(row, column), limit }));
      const zone = start.slice();
      if (!upper.every(({ clock, limit }) => constrain(zone, SIZE, clock, 0, limit))) return;
      const expected = zone.slice();
      letTimePass(expected, SIZE);
      for (const { clock, limit } of upper) constrain(expected, SIZE, clock, 0, limit);
      letTimePassWithin(
        zone,
        SIZE,
        upper.flatMap(({ clock, limit }) => [clock, limit]),
      );
      expect(zone).toEqual(expected);
    }),
    RUNS,
  );
});

test("letting time run back gives the points from which a wait leads to the zone", () => {
  fc.assert(
    fc.property(zones, (zone) => {
      const earlier = zone.slice();
      letTimeRunBack(earlier, SIZE);
      for (const point of GRID) {
        const leadsThere = WAITS.some((wait) => contains(zone, shifted(point, wait)));
        expect(contains(earlier, point)).toBe(leadsThere);
      }
      expectClosed(earlier);
    }),
    { ...RUNS, numRuns: 40 },
  );
});

test("one zone includes another exactly when all its points do, which orders zones", () => {
  fc.assert(
    fc.property(zones, zones, zones, (first, second, third) => {
      expect(covers(first, first)).toBe(true);
      expect(covers(first, second)).toBe(pointsOf(second).every((point) => contains(first, point)));
      if (covers(first, second) && covers(second, first)) expect(first).toEqual(second);
      if (covers(first, second) && covers(second, third)) expect(covers(first, third)).toBe(true);
    }),
    RUNS,
  );
});

test("carrying over resets, renames and drops clocks", () => {
  const origins = fc.array(fc.constantFrom(0, 1, 2), { minLength: SIZE - 1, maxLength: SIZE - 1 });
  fc.assert(
    fc.property(zones, origins, (zone, chosen) => {
      const carried = unboundedZone(SIZE);
      carryOver(zone, 0, SIZE, carried, SIZE, Int32Array.of(0, ...chosen));
      const taken = (point: Point): string => chosen.map((origin) => point[origin]).join();
      const before = new Set(pointsOf(zone, FINE_GRID).map(taken));
      const expected = GRID.filter(([, ...values]) => before.has(values.join()));
      expect(pointsOf(carried)).toEqual(expected);
      expectClosed(carried);
    }),
    { ...RUNS, numRuns: 60 },
  );
});

test("extrapolation only adds points, and is closed", () => {
  const constants = fc.array(fc.integer({ min: -1, max: 3 }), { minLength: SIZE - 1, maxLength: SIZE - 1 });
  fc.assert(
    fc.property(zones, constants, constants, (zone, lower, upper) => {
      const wider = zone.slice();
      extrapolate(wider, SIZE, [0, ...lower], [0, ...upper]);
      expect(covers(wider, zone)).toBe(true);
      expectClosed(wider);
    }),
    RUNS,
  );
});

test("extrapolation with the same constants on both sides adds only points with like ones beyond them", () => {
  const constants = fc.array(fc.integer({ min: -1, max: 3 }), { minLength: SIZE - 1, maxLength: SIZE - 1 });
  fc.assert(
    fc.property(zones, constants, (zone, chosen) => {
      const most = [0, ...chosen];
      const wider = zone.slice();
      extrapolate(wider, SIZE, most, most);
      const points = pointsOf(zone);
      const likeness = (point: Point): string =>
        JSON.stringify(
          point.map((value, clock) =>
            value > (most[clock] ?? 0) * PARTS ? "beyond" : likenessInside(value),
          ),
        );
      const known = new Set(points.map(likeness));
      for (const point of pointsOf(wider)) expect(known).toContain(likeness(point));
    }),
    { ...RUNS, numRuns: 60 },
  );
});

/** The whole part, and whether there is a fraction. */
function likenessInside(value: number): string {
  return `${Math.floor(value / PARTS)}${value % PARTS === 0 ? "" : "+"}`;
}

test("a dropped clock may have any value", () => {
  fc.assert(
    fc.property(zones, (zone) => {
      const wider = zone.slice();
      extrapolate(wider, SIZE, [0, 9, -1], [0, 9, -1]);
      const first = new Set(pointsOf(zone, FINE_GRID).map((point) => point[1]));
      expect(pointsOf(wider)).toEqual(GRID.filter((point) => first.has(point[1])));
      expect(wider[2]).toBe(ZERO);
    }),
    { ...RUNS, numRuns: 60 },
  );
});

test("subtraction cuts a zone into pieces that share no point with each other or with what is taken away", () => {
  fc.assert(
    fc.property(zones, zones, (zone, other) => {
      const pieces = subtract(zone, other, SIZE);
      for (const point of GRID) {
        const owners = pieces.filter((piece) => contains(piece, point)).length;
        expect(owners).toBe(contains(zone, point) && !contains(other, point) ? 1 : 0);
      }
      for (const piece of pieces) expectClosed(piece);
    }),
    RUNS,
  );
});
