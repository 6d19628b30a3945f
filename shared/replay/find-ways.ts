import type { Automaton, Edge, Move, State } from "../runtime/index.ts";
import type { ToldEvent } from "./known-events.ts";
import type { Way } from "./way.ts";
import { isPossible, type WayOptions, type WaySoFar, WaySteps } from "./way-steps.ts";

/** More ways than these from one place to one event are not looked at; a sound protocol has one or two. */
const MOST_WAYS = 12;
/** So many edges a way has at most where nothing is passed over, and so many ways are followed side by side. */
const LONGEST = 24;
const MOST_OPEN = 60;
/** So many places are looked at ahead. */
const MOST_AHEAD = 1500;

/** Works out, for a place of a protocol and something that is told, what can have happened in between. */
export class WayFinder {
  readonly #steps: WaySteps;

  constructor(automaton: Automaton, options: WayOptions) {
    this.#steps = new WaySteps(automaton, options);
  }

  /** The ways on which nothing is passed over, the plainest first. */
  waysWithin(state: State, event: ToldEvent): Way[] {
    const ways: Way[] = [];
    let open = [this.#steps.beginning(state)];
    while (open.length > 0 && ways.length < MOST_WAYS) {
      const next: WaySoFar[] = [];
      for (const [draft, move, edge] of this.#onFrom(open)) {
        if (this.#steps.isTold(move, edge, event)) ways.push(this.#steps.arrive(draft, move, edge));
        else if (draft.moves.length < LONGEST) next.push(...this.#silent(draft, move, edge, event));
      }
      open = next.sort((a, b) => a.untold.length - b.untold.length).slice(0, MOST_OPEN);
    }
    return ways.filter(isPossible).sort((a, b) => a.untold.length - b.untold.length);
  }

  /**
   * The ways that pass over the fewest steps, and over one more, since the times may not allow the first; none where the event
   * lies nowhere ahead.
   */
  waysAhead(state: State, event: ToldEvent): Way[] {
    const ways: Way[] = [];
    const seen = new Set<string>();
    let open = [this.#steps.beginning(state)];
    let more = 1;
    for (let left = 0; open.length > 0 && seen.size <= MOST_AHEAD && more >= 0; left += 1) {
      const further: WaySoFar[] = [];
      // What is added while the list is gone through is gone through, too.
      for (const [draft, move, edge] of this.#onFrom(open, seen)) {
        if (!this.#steps.isTold(move, edge, event)) {
          open.push(...this.#silent(draft, move, edge, event));
          further.push(...this.#steps.passOver(draft, move, edge));
        } else if (left > 0) ways.push(this.#steps.arrive(draft, move, edge));
      }
      open = further;
      if (ways.length > 0) more -= 1;
    }
    return ways.filter(isPossible);
  }

  #silent(draft: WaySoFar, move: Move, edge: Edge, event: ToldEvent): WaySoFar[] {
    return this.#steps.goSilently(draft, move, edge, event).filter(isPossible);
  }

  /** What can happen at the end of each draft; places that were seen are left out. */
  *#onFrom(open: readonly WaySoFar[], seen?: Set<string>): Generator<readonly [WaySoFar, Move, Edge]> {
    for (const draft of open) {
      const key = seen && `${draft.isNow} ${draft.state.join(" ")}`;
      if (seen && key !== undefined && (seen.has(key) || seen.add(key).size > MOST_AHEAD)) continue;
      for (const [move, edge] of this.#steps.movesOf(draft.state)) yield [draft, move, edge];
    }
  }
}
