import type { Endpoint, Interval } from "@limbwright/shared/quantity";

/** Sorts from the lowest start up; of two that start at one number, a closed edge comes first. */
export function byLowerEdge(a: Interval, b: Interval): number {
  if (!a.lower || !b.lower) return a.lower ? 1 : b.lower ? -1 : 0;
  return a.lower.value.compare(b.lower.value) || Number(b.lower.closed) - Number(a.lower.closed);
}

/** Whether no number lies between the two; `a` must not start after `b`. */
export function meets(a: Interval, b: Interval): boolean {
  if (!a.upper || !b.lower) return true;
  const side = a.upper.value.compare(b.lower.value);
  return side > 0 || (side === 0 && (a.upper.closed || b.lower.closed));
}

/** The smallest interval that holds both. */
export function hull(a: Interval, b: Interval): Interval {
  const lower = byLowerEdge(a, b) <= 0 ? a.lower : b.lower;
  const upper = byUpperEdge(a, b) >= 0 ? a.upper : b.upper;
  return { ...(lower && { lower }), ...(upper && { upper }) };
}

export function isWithin(inner: Interval, outer: Interval): boolean {
  return byLowerEdge(outer, inner) <= 0 && byUpperEdge(outer, inner) >= 0;
}

export function sameInterval(a: Interval, b: Interval): boolean {
  return byLowerEdge(a, b) === 0 && byUpperEdge(a, b) === 0;
}

/** A text that is the same for equal intervals and no others. */
export function intervalKey({ lower, upper }: Interval): string {
  return `${edgeKey(lower)} ${edgeKey(upper)}`;
}

function byUpperEdge(a: Interval, b: Interval): number {
  if (!a.upper || !b.upper) return a.upper ? -1 : b.upper ? 1 : 0;
  return a.upper.value.compare(b.upper.value) || Number(a.upper.closed) - Number(b.upper.closed);
}

function edgeKey(edge: Endpoint | undefined): string {
  return edge ? `${edge.value.toFraction()}${edge.closed ? "=" : ""}` : "-";
}
