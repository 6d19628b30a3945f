import { type Interval, intersect, isEmpty } from "@limbwright/shared/quantity";
import { byLowerEdge } from "./interval-order.ts";

/** A range that two rows of a band table both cover; the rows are counted from zero. */
export interface Overlap {
  readonly first: number;
  readonly second: number;
  readonly range: Interval;
}

/** What is wrong with the ranges of a band table, from the lowest up. */
export interface BandFaults {
  readonly gaps: readonly Interval[];
  readonly overlaps: readonly Overlap[];
}

/**
 * The parts of `covered` (the patients the protocol declares) that no row holds, and those that two rows
 * hold. Exact: rows that end under 70 kg and begin over 70 kg leave out exactly 70 kg.
 */
export function bandFaults(rows: readonly Interval[], covered: Interval): BandFaults {
  let gaps: readonly Interval[] = isEmpty(covered) ? [] : [covered];
  for (const row of rows) gaps = gaps.flatMap((gap) => subtractRange(gap, row));
  const overlaps: Overlap[] = [];
  for (const [first, row] of rows.entries()) {
    for (let second = first + 1; second < rows.length; second += 1) {
      const range = intersect(intersect(row, rows[second] ?? row), covered);
      if (!isEmpty(range)) overlaps.push({ first, second, range });
    }
  }
  return {
    gaps: [...gaps].sort(byLowerEdge),
    overlaps: overlaps.sort((a, b) => byLowerEdge(a.range, b.range)),
  };
}

/** The parts of an interval that lie outside a range: none, one or two. */
export function subtractRange(interval: Interval, range: Interval): Interval[] {
  if (isEmpty(range)) return [interval];
  return outside(range)
    .map((side) => intersect(interval, side))
    .filter((part) => !isEmpty(part));
}

function outside({ lower, upper }: Interval): Interval[] {
  return [
    ...(lower ? [{ upper: { value: lower.value, closed: !lower.closed } }] : []),
    ...(upper ? [{ lower: { value: upper.value, closed: !upper.closed } }] : []),
  ];
}
