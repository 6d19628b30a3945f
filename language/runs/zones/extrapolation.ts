import { addBounds, bound, INFINITY, valueIn, ZERO } from "./bound.ts";
import { close, type Zone } from "./zone.ts";

/**
 * Widens a zone to one of finitely many without adding any behaviour: differences that no later comparison
 * can tell apart are forgotten (extrapolation by lower and upper bounds in its finer form: Behrmann, Bouyer,
 * Larsen, Pelánek, "Lower and upper bounds in zone-based abstractions of timed automata", 2006; from memory).
 *
 * `lower[clock]` is the largest constant the clock is still compared with from below, `upper[clock]` from
 * above; -1 where it is never. With -1 in both a clock is dropped: it may have any value. With the larger of
 * the two in both, the result holds only points that behave exactly like one of the zone, stuck ones too.
 *
 * Sound only while no comparison is on the difference of two clocks.
 */
export function extrapolate(
  zone: Zone,
  size: number,
  lower: readonly number[],
  upper: readonly number[],
): void {
  let mayBeOpen = false;
  for (let row = 1; row < size; row += 1) {
    const most = lower[row] as number;
    if (-valueIn(zone[row] as number) > most) forgetRow(zone, size, row);
    else if (forgetLarge(zone, size, row, most, upper)) mayBeOpen = true;
  }
  for (let column = 1; column < size; column += 1) {
    const most = upper[column] as number;
    if (-valueIn(zone[column] as number) > most) forgetColumn(zone, size, column, most);
  }
  if (mayBeOpen) close(zone, size);
}

/** A clock past its largest comparison from below: how large it is, alone or against others, no longer matters. */
function forgetRow(zone: Zone, size: number, row: number): void {
  const start = row * size;
  for (let column = 0; column < size; column += 1) zone[start + column] = INFINITY;
  zone[start + row] = ZERO;
}

/**
 * Upper bounds on the clock, alone or against others, past its largest comparison from below. Ways round may
 * still bound what was forgotten here, and here alone: then the matrix must be closed again.
 */
function forgetLarge(zone: Zone, size: number, row: number, most: number, upper: readonly number[]): boolean {
  const start = row * size;
  let changed = false;
  for (let column = 0; column < size; column += 1) {
    const packed = zone[start + column] as number;
    if (packed === INFINITY || valueIn(packed) <= most || column === row) continue;
    zone[start + column] = INFINITY;
    // Where the column is forgotten too, that closes it.
    if (-valueIn(zone[column] as number) <= (upper[column] as number)) changed = true;
  }
  return changed;
}

/**
 * A clock past its largest comparison from above, `most`: that it is past it is all that still matters. Others
 * are bounded against it only by the way through the reference clock.
 */
function forgetColumn(zone: Zone, size: number, column: number, most: number): void {
  const least = most < 0 ? ZERO : bound(-most, true);
  zone[column] = least;
  for (let row = 1; row < size; row += 1) {
    if (row !== column) zone[row * size + column] = addBounds(zone[row * size] as number, least);
  }
}
