import { MOST_VALUE } from "./bound.ts";
import { Integers } from "./integers.ts";

/** How clocks are forgotten: see `extrapolate`. With `none` only clocks that are never compared are dropped. */
export type Extrapolation = "lower-upper" | "maximal" | "none";

/** Which clocks the zones of a discrete state keep: those that are still compared, in their order. */
export interface Layout {
  /** The system's clocks by their index in a zone; [0] is the reference clock. */
  readonly clocks: readonly number[];
  readonly size: number;
  /** For `extrapolate`, by index. */
  readonly lower: readonly number[];
  readonly upper: readonly number[];
}

/** The layouts of a search. Equal ones are kept once, as many states share them. */
export class Layouts {
  readonly #clockCount: number;
  readonly #extrapolation: Extrapolation;
  readonly #withTotalTime: boolean;
  readonly #byDigest = new Map<number, Layout[]>();
  /** The layout that is looked for. */
  readonly #clocks = new Integers();
  readonly #lower = new Integers();
  readonly #upper = new Integers();

  constructor(clockCount: number, extrapolation: Extrapolation, withTotalTime: boolean) {
    this.#clockCount = clockCount;
    this.#extrapolation = extrapolation;
    this.#withTotalTime = withTotalTime;
  }

  /** For a state with these local bounds, by the system's clocks. */
  of(lower: Int32Array, upper: Int32Array): Layout {
    this.#clocks.clear();
    this.#lower.clear();
    this.#upper.clear();
    this.#append(0, 0, 0);
    let digest = 0;
    for (let clock = 1; clock <= this.#clockCount; clock += 1) {
      const below = lower[clock] ?? -1;
      const above = upper[clock] ?? -1;
      if (below < 0 && above < 0) continue;
      digest = (Math.imul(digest, 31) + clock + Math.imul(below, 7919) + Math.imul(above, 104_729)) | 0;
      this.#add(clock, below, above);
    }
    // Of the total time only the least value is asked for: compared from above with anything, from below never.
    if (this.#withTotalTime) this.#append(this.#clockCount + 1, -1, MOST_VALUE);
    return this.#keepOne(digest);
  }

  #add(clock: number, below: number, above: number): void {
    const most = Math.max(below, above);
    if (this.#extrapolation === "maximal") this.#append(clock, most, most);
    else this.#append(clock, below, above);
  }

  #append(clock: number, lower: number, upper: number): void {
    this.#clocks.push(clock);
    this.#lower.push(lower);
    this.#upper.push(upper);
  }

  #keepOne(digest: number): Layout {
    const alike = this.#byDigest.get(digest) ?? [];
    for (const layout of alike) if (this.#isLookedFor(layout)) return layout;
    const layout = {
      clocks: this.#clocks.toArray(),
      size: this.#clocks.length,
      lower: this.#lower.toArray(),
      upper: this.#upper.toArray(),
    };
    this.#byDigest.set(digest, [...alike, layout]);
    return layout;
  }

  #isLookedFor({ clocks, lower, upper }: Layout): boolean {
    return this.#clocks.isSameAs(clocks) && this.#lower.isSameAs(lower) && this.#upper.isSameAs(upper);
  }
}
