import { INFINITY, isStrict, valueIn } from "./bound.ts";
import type { Layout } from "./layout.ts";

/** A least or greatest value; a strict one is approached and never reached. */
export interface Extreme {
  readonly value: number;
  readonly strict: boolean;
}

/** The values clocks have in a zone, by the system's own clock numbers. */
export interface ZoneView {
  readonly leastOf: (clock: number) => Extreme;
  /** Undefined without an end. */
  readonly greatestOf: (clock: number) => Extreme | undefined;
}

/** Reads a zone where it stands; what it says is true until the array changes. */
export function viewOf({ clocks, size }: Layout, zones: Int32Array, at: number): ZoneView {
  return {
    leastOf: (clock) => {
      const index = clocks.indexOf(clock);
      if (index < 0) return { value: 0, strict: false };
      const packed = zones[at + index] as number;
      return { value: 0 - valueIn(packed), strict: isStrict(packed) };
    },
    greatestOf: (clock) => {
      const index = clocks.indexOf(clock);
      const packed = index < 0 ? INFINITY : (zones[at + index * size] as number);
      return packed === INFINITY ? undefined : { value: valueIn(packed), strict: isStrict(packed) };
    },
  };
}
