import { INFINITY, negateBound } from "./bound.ts";
import { constrain, type Zone } from "./zone.ts";

/**
 * The points of `zone` that are not in `other`, as zones that share no point. Both are closed, have points, and
 * are of the same size; neither is changed.
 */
export function subtract(zone: Zone, other: Zone, size: number): Zone[] {
  const pieces: Zone[] = [];
  const rest = zone.slice(0, size * size);
  for (let row = 0; row < size; row += 1) {
    for (let column = 0; column < size; column += 1) {
      const limit = other[row * size + column] as number;
      if (limit === INFINITY || limit >= (rest[row * size + column] as number)) continue;
      const outside = rest.slice();
      if (constrain(outside, size, column, row, negateBound(limit))) pieces.push(outside);
      if (!constrain(rest, size, row, column, limit)) return pieces;
    }
  }
  return pieces;
}
