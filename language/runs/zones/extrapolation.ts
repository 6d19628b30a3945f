import { bound, INFINITY, valueIn, ZERO } from "./bound.ts";
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
export function extrapolate(zone: Zone, size: number, lower: Int32Array, upper: Int32Array): void {
  let changed = false;
  for (let row = 1; row < size; row += 1) {
    if (forgetRow(zone, size, row, lower[row] as number, upper)) changed = true;
  }
  if (forgetLeast(zone, size, upper) || changed) close(zone, size);
}

/** Upper bounds on the clock, alone and against others, that lie past its largest comparison from below. */
function forgetRow(zone: Zone, size: number, row: number, most: number, upper: Int32Array): boolean {
  const start = row * size;
  const isPast = -valueIn(zone[row] as number) > most;
  let changed = false;
  for (let column = 0; column < size; column += 1) {
    const packed = zone[start + column] as number;
    if (packed === INFINITY || column === row) continue;
    if (isPast || valueIn(packed) > most || -valueIn(zone[column] as number) > (upper[column] as number)) {
      zone[start + column] = INFINITY;
      changed = true;
    }
  }
  return changed;
}

/** Lower bounds on clocks that lie past their largest comparison from above. */
function forgetLeast(zone: Zone, size: number, upper: Int32Array): boolean {
  let changed = false;
  for (let column = 1; column < size; column += 1) {
    const packed = zone[column] as number;
    const most = upper[column] as number;
    const loosest = most < 0 ? ZERO : bound(-most, true);
    if (-valueIn(packed) > most && packed !== loosest) {
      zone[column] = loosest;
      changed = true;
    }
  }
  return changed;
}
