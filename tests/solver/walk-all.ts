import type { Protocol } from "../../language/model/index.ts";
import { neverBroken } from "./protocol-breaches.ts";
import type { Broken, Limits, State } from "./protocol-state.ts";
import { Walker } from "./protocol-walker.ts";
import { World } from "./protocol-world.ts";

/**
 * Goes through every run of a small protocol, and gives what is broken, by rule and place: see `keyOf`. Undefined where there are
 * more states than `mostStates`.
 */
export function walkAll(
  protocol: Protocol,
  limits: Limits,
  mostStates: number,
  { hasLeaks = false } = {},
): Map<string, Broken> | undefined {
  const world = new World(protocol, limits, hasLeaks);
  const walker = new Walker(world);
  const found = new Map<string, Broken>();
  const done = new Set<string>();
  const waiting = new Waiting(walker.first());
  for (let next = waiting.next(); next; next = waiting.next()) {
    const { state, ...cost } = next;
    const key = walker.keyOf(state);
    if (done.has(key)) continue;
    done.add(key);
    if (done.size > mostStates) return undefined;
    for (const here of neverBroken(world, state)) note(found, here, cost);
    for (const move of walker.moves(state)) {
      const then = { decisions: cost.decisions + move.decisions, at: cost.at + move.seconds };
      for (const { key: what } of move.found) note(found, what, then);
      if (!move.found.some(({ endsRun }) => endsRun)) waiting.add({ state: move.state, ...then });
    }
  }
  return found;
}

type Waits = Broken & { readonly state: State };

/** States by decisions, then by time: both only grow, so the first time a state is met is the best one. */
class Waiting {
  readonly #states: State[][][] = [];
  #decisions = 0;
  #at = 0;

  constructor(first: State) {
    this.add({ state: first, decisions: 0, at: 0 });
  }

  add({ state, decisions, at }: Waits): void {
    const byTime = this.#states[decisions] ?? [];
    const those = byTime[at] ?? [];
    those.push(state);
    byTime[at] = those;
    this.#states[decisions] = byTime;
  }

  next(): Waits | undefined {
    while (this.#decisions < this.#states.length) {
      const byTime = this.#states[this.#decisions] ?? [];
      while (this.#at < byTime.length) {
        const state = byTime[this.#at]?.pop();
        if (state) return { state, decisions: this.#decisions, at: this.#at };
        this.#at += 1;
      }
      this.#decisions += 1;
      this.#at = 0;
    }
    return undefined;
  }
}

function note(found: Map<string, Broken>, key: string, { decisions, at }: Broken): void {
  const known = found.get(key);
  const isBetter = !known || decisions < known.decisions || (decisions === known.decisions && at < known.at);
  if (isBetter) found.set(key, { decisions, at });
}
