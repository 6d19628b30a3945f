import type { Interval } from "@limbwright/shared/quantity";
import { type Cell, common, rangeOf, simplified } from "./cell.ts";
import { type Box, VARIABLES, type Variable } from "./expression.ts";
import { byLowerEdge, hull, intervalKey, isWithin, meets, sameInterval } from "./interval-order.ts";
import type { Work } from "./limits.ts";

/** A set of patients in ranges. */
export interface Region {
  /** A variable that is left out does not matter: the whole covered range of it belongs to the region. */
  readonly ranges: Box;
  /**
   * `true`: every patient in these ranges belongs to the set. `false`: only some do, because the set is
   * not made of ranges; these are then the smallest ranges that hold them.
   */
  readonly exact: boolean;
  /** The region is every patient who is covered. */
  readonly everybody: boolean;
}

/**
 * The union of cells in as few ranges as merging neighbours gives. `others` are the rest of the `domain`:
 * the two together are all of it, which is how a range is known to hold members alone.
 */
export function regionsOf(
  members: readonly Cell[],
  others: readonly Cell[],
  domain: Cell,
  work: Work,
): Region[] {
  if (members.length === 0) return [];
  if (others.length === 0) return [{ ranges: {}, exact: true, everybody: true }];
  const straight: Box[] = [];
  const filled: Box[] = [];
  const inexact: Box[] = [];
  for (const cell of members.map(simplified)) {
    work.spend();
    if (cell.slanted.length === 0) straight.push(cell.box);
    else {
      const ranges = surrounding(cell);
      (holdsNoneOf(ranges, others, work) ? filled : inexact).push(ranges);
    }
  }
  const merged = mergedNeighbours([...straight, ...filled]);
  const exact = filled.length > 0 ? withoutContained(merged) : merged;
  const described = (ranges: Box, isExact: boolean): Region => ({
    ranges: withoutUnlimited(ranges, domain.box),
    exact: isExact,
    everybody: false,
  });
  return [
    ...exact.map((ranges) => described(ranges, true)),
    ...mergedTouching(inexact).map((ranges) => described(ranges, false)),
  ].sort(byRanges);
}

/** The smallest ranges that hold a cell. */
function surrounding(cell: Cell): Box {
  const ranges: Partial<Record<Variable, Interval>> = {};
  for (const variable of VARIABLES) {
    const range = rangeOf(cell, variable);
    if (range.lower || range.upper) ranges[variable] = range;
  }
  return ranges;
}

function holdsNoneOf(ranges: Box, others: readonly Cell[], work: Work): boolean {
  const cell = { box: ranges, slanted: [] };
  return !others.some((other) => {
    work.spend();
    return common(cell, other);
  });
}

/** Joins ranges that are alike in all variables but one, in which they touch, until none are left. */
function mergedNeighbours(boxes: readonly Box[]): Box[] {
  let current = [...boxes];
  let before: number;
  do {
    before = current.length;
    for (const variable of VARIABLES) current = mergedAlong(current, variable);
  } while (current.length < before);
  return current;
}

function mergedAlong(boxes: readonly Box[], variable: Variable): Box[] {
  const groups = new Map<string, Box[]>();
  for (const box of boxes) {
    const key = keyWithout(box, variable);
    const group = groups.get(key);
    if (group) group.push(box);
    else groups.set(key, [box]);
  }
  return [...groups.values()].flatMap((group) => mergedInLine(group, variable));
}

function mergedInLine(boxes: Box[], variable: Variable): Box[] {
  boxes.sort((a, b) => byLowerEdge(a[variable] ?? {}, b[variable] ?? {}));
  const merged: Box[] = [];
  for (const box of boxes) {
    const last = merged.at(-1);
    const range = box[variable] ?? {};
    const lastRange = last?.[variable] ?? {};
    if (last && meets(lastRange, range)) {
      merged[merged.length - 1] = { ...last, [variable]: hull(lastRange, range) };
    } else merged.push(box);
  }
  return merged;
}

/** Joins ranges that touch in every variable: "some of" the joined ranges is still true. */
function mergedTouching(boxes: readonly Box[]): Box[] {
  const merged: Box[] = [];
  for (const box of boxes) {
    let joined = box;
    for (let at = merged.length - 1; at >= 0; at -= 1) {
      const other = merged[at];
      if (!other || !touches(joined, other)) continue;
      joined = joinedBox(joined, other);
      merged.splice(at, 1);
      at = merged.length;
    }
    merged.push(joined);
  }
  return merged;
}

function touches(a: Box, b: Box): boolean {
  return VARIABLES.every((variable) => {
    const [first, second] = [a[variable] ?? {}, b[variable] ?? {}].sort(byLowerEdge);
    return meets(first ?? {}, second ?? {});
  });
}

function joinedBox(a: Box, b: Box): Box {
  const joined: Partial<Record<Variable, Interval>> = {};
  for (const variable of VARIABLES) {
    const range = hull(a[variable] ?? {}, b[variable] ?? {});
    if (range.lower || range.upper) joined[variable] = range;
  }
  return joined;
}

function withoutContained(boxes: readonly Box[]): Box[] {
  return boxes.filter(
    (box) =>
      !boxes.some((other) => other !== box && VARIABLES.every((v) => isWithin(box[v] ?? {}, other[v] ?? {}))),
  );
}

function withoutUnlimited(ranges: Box, covered: Box): Box {
  const kept: Partial<Record<Variable, Interval>> = {};
  for (const variable of VARIABLES) {
    const range = ranges[variable];
    if (range && !sameInterval(range, covered[variable] ?? {})) kept[variable] = range;
  }
  return kept;
}

function keyWithout(box: Box, left: Variable): string {
  return VARIABLES.map((variable) => (variable === left ? "" : intervalKey(box[variable] ?? {}))).join("|");
}

function byRanges(a: Region, b: Region): number {
  for (const variable of VARIABLES) {
    const order = byLowerEdge(a.ranges[variable] ?? {}, b.ranges[variable] ?? {});
    if (order !== 0) return order;
  }
  return 0;
}
