import { type Cell, costOf, intersectCells, rangeOf, simplify } from "./cell.ts";
import { type Box, VARIABLES } from "./expression.ts";
import { byLowerEdge, sameInterval } from "./interval-order.ts";
import type { Work } from "./limits.ts";
import { limitedBox, mergeNeighbours, overlap, touchingGroups, withoutContained } from "./merge-boxes.ts";

/** A set of patients in ranges. */
export interface Region {
  /** A variable that is left out does not matter: the whole covered range of it belongs to the region. */
  readonly ranges: Box;
  /**
   * `true`: every patient in these ranges belongs to the set. `false`: only some do, because the set is
   * not made of ranges, or it is too finely cut to tell; these ranges then hold all of them and others.
   */
  readonly exact: boolean;
  /** The region is every patient who is covered. */
  readonly everybody: boolean;
}

/** How often cells that ranges cannot describe are held against ranges before they pass as "some of". */
const MOST_CHECKS = 1_000;

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
  const { straight, surroundings } = describeCells(members, work);
  const { filled, loose } = sortBoxes(surroundings, others, work);
  const merged = mergeNeighbours([...straight, ...filled]);
  const exact = filled.length > 0 ? withoutContained(merged) : merged;
  const region = (ranges: Box, isExact: boolean): Region => ({
    ranges: withoutUnlimited(ranges, domain.box),
    exact: isExact,
    everybody: false,
  });
  return [
    ...exact.map((ranges) => region(ranges, true)),
    ...touchingGroups(loose).map(({ hull }) => region(hull, false)),
  ].sort(byRanges);
}

/** The cells that are ranges, and the smallest ranges around each of the others. */
function describeCells(
  cells: readonly Cell[],
  work: Work,
): { readonly straight: Box[]; readonly surroundings: Box[] } {
  const straight: Box[] = [];
  const surroundings: Box[] = [];
  for (const cell of cells.map(simplify)) {
    work.spend(costOf(cell));
    if (cell.slanted.length === 0) straight.push(cell.box);
    else surroundings.push(surrounding(cell));
  }
  return { straight, surroundings };
}

/**
 * Which ranges hold members alone. Those that touch are tried together first: a slant that the whole set
 * does not show often only cuts it in two.
 */
function sortBoxes(
  boxes: readonly Box[],
  others: readonly Cell[],
  work: Work,
): { readonly filled: Box[]; readonly loose: Box[] } {
  const filled: Box[] = [];
  const loose: Box[] = [];
  let checks = 0;
  const holdsMembersAlone = (ranges: Box): boolean =>
    !others.some((other) => {
      if (!overlap(ranges, other.box)) return false;
      checks += 1;
      if (checks > MOST_CHECKS) return true;
      work.spend();
      return intersectCells({ box: ranges, slanted: [] }, other);
    });
  for (const group of touchingGroups(boxes)) {
    if (holdsMembersAlone(group.hull)) filled.push(group.hull);
    else for (const box of group.boxes) (holdsMembersAlone(box) ? filled : loose).push(box);
  }
  return { filled, loose };
}

/** The smallest ranges that hold a cell. */
function surrounding(cell: Cell): Box {
  return limitedBox((variable) => rangeOf(cell, variable));
}

function withoutUnlimited(ranges: Box, covered: Box): Box {
  return limitedBox((variable) => {
    const range = ranges[variable];
    return range && !sameInterval(range, covered[variable] ?? {}) ? range : undefined;
  });
}

function byRanges(a: Region, b: Region): number {
  for (const variable of VARIABLES) {
    const order = byLowerEdge(a.ranges[variable] ?? {}, b.ranges[variable] ?? {});
    if (order !== 0) return order;
  }
  return 0;
}
