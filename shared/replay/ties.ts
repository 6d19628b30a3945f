import type { Told, ToldEvent } from "./known-events.ts";
import type { Here } from "./readings.ts";
import type { Place, Stepper } from "./stepper.ts";

/** So many events of one time are put into the order of the protocol; of more, the first so many. */
const MOST = 100;
/** So often it is asked whether something could come next; then the best order so far is taken, so that no record takes long. */
const MOST_ASKED = 4000;

/**
 * What has the same time is taken in the order that the protocol provides for, if it provides for one: best for all of it as it
 * is told, else with something untold between, else for as much of it as it can.
 */
export function orderTies(stepper: Stepper, here: Here, told: Told[], from: number): void {
  const now = (told[from] as Told).at;
  let to = from;
  while (to < from + MOST && told[to]?.at === now) to += 1;
  const tied = told.slice(from, to);
  const events = tied.map(({ event }) => event);
  if (isCleanAsTold(stepper, here, events, now)) return;
  const order = longestOrder(stepper, here, events, now);
  const rest = [...tied.keys()].filter((index) => !order.includes(index));
  told.splice(from, tied.length, ...[...order, ...rest].map((chosen) => tied[chosen] as Told));
}

function longestOrder(stepper: Stepper, here: Here, tied: readonly ToldEvent[], now: number) {
  const plain = new Ordering(stepper, tied, { now, mayBeUntold: false }).longestFrom(here);
  if (plain.length === tied.length) return plain;
  const other = new Ordering(stepper, tied, { now, mayBeUntold: true }).longestFrom(here);
  return other.length > plain.length ? other : plain;
}

/** Whether nothing is amiss in the order in which it is told: mostly so, and the first that would be found. */
function isCleanAsTold(stepper: Stepper, here: Here, tied: readonly ToldEvent[], now: number): boolean {
  const began = here.began.slice();
  let { place } = here;
  for (const event of tied) {
    const way = stepper.findClean(place, event, began, now);
    if (!way || way.untold.length > 0) return false;
    place = stepper.go(way, began, now);
  }
  return true;
}

interface Asked {
  readonly now: number;
  readonly mayBeUntold: boolean;
}

/** Looks for an order of events of one time in which nothing is amiss. */
class Ordering {
  readonly #stepper: Stepper;
  readonly #tied: readonly ToldEvent[];
  readonly #asked: Asked;
  readonly #seen = new Map<Place, Set<string>>();
  #asks = 0;
  #longest: readonly number[] = [];

  constructor(stepper: Stepper, tied: readonly ToldEvent[], asked: Asked) {
    this.#stepper = stepper;
    this.#tied = tied;
    this.#asked = asked;
  }

  /** The most of them that can come first with nothing amiss, as their places in the list. */
  longestFrom(here: Here): readonly number[] {
    const known = [...this.#tied.keys()].filter((index) => this.#tied[index]?.isKnown);
    this.#goOn(here, known, []);
    return this.#longest;
  }

  /** True where nothing longer need be looked for. */
  #goOn(here: Here, left: readonly number[], before: readonly number[]): boolean {
    if (before.length > this.#longest.length) this.#longest = before;
    if (left.length === 0 || this.#asks >= MOST_ASKED) return true;
    if (this.#wasHere(here, left)) return false;
    return left.some((index) => {
      const there = this.#after(here, this.#tied[index] as ToldEvent);
      const rest = left.filter((other) => other !== index);
      return there !== undefined && this.#goOn(there, rest, [...before, index]);
    });
  }

  /** Where it leads if one of them comes next; undefined where something would be amiss. */
  #after({ place, began }: Here, event: ToldEvent): Here | undefined {
    const { now, mayBeUntold } = this.#asked;
    this.#asks += 1;
    const way = this.#stepper.findClean(place, event, began, now);
    if (!way || (way.untold.length > 0 && !mayBeUntold)) return undefined;
    const after = began.slice();
    return { place: this.#stepper.go(way, after, now), began: after };
  }

  /** Another order of the same events may have led to the same. */
  #wasHere({ place, began }: Here, left: readonly number[]): boolean {
    const seen = this.#seen.get(place) ?? new Set();
    this.#seen.set(place, seen);
    const key = `${left.join()} ${began.join()}`;
    if (seen.has(key)) return true;
    seen.add(key);
    return false;
  }
}
