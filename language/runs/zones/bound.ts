/**
 * A bound on the difference of two clocks, packed into one integer: twice its value, plus one when the value
 * itself is allowed ("at most 5" is 11, "under 5" is 10). So the smaller number is the tighter bound.
 */
export const INFINITY = 0x3fffffff;

/** "At most 0". */
export const ZERO = 1;

/** Values of finite bounds stay under this size, so that sums of them stay clear of `INFINITY`. */
export const MOST_VALUE = 0x0fffffff;

export function bound(value: number, strict: boolean): number {
  return strict ? value * 2 : value * 2 + 1;
}

export function valueIn(packed: number): number {
  return packed >> 1;
}

export function isStrict(packed: number): boolean {
  return (packed & 1) === 0;
}

/** The bound on a − c that follows from bounds on a − b and b − c; strict when one of them is. */
export function addBounds(left: number, right: number): number {
  if (left === INFINITY || right === INFINITY) return INFINITY;
  return left + right - ((left | right) & 1);
}

/** The bound on b − a that holds exactly where this one on a − b does not. Needs a finite bound. */
export function negateBound(packed: number): number {
  return 1 - packed;
}
