import type { Told, ToldEvent } from "./known-events.ts";
import type { Here } from "./readings.ts";
import type { Stepper } from "./stepper.ts";

/** So many events of one time are put into the order of the protocol; of more, the first so many. */
const MOST = 6;

/**
 * What has the same time is taken in the order that the protocol provides for, if it provides for one: best for all of it as it
 * is told, else with something untold between, else for what comes first.
 */
export function orderTies(stepper: Stepper, here: Here, told: Told[], from: number): void {
  const now = (told[from] as Told).at;
  let to = from;
  while (to < from + MOST && told[to]?.at === now) to += 1;
  const tied = told.slice(from, to);
  const events = tied.map(({ event }) => event);
  if (isCleanAsTold(stepper, here, events, now)) return;
  const order =
    cleanOrder(stepper, here, events, { now, mayBeUntold: false }) ??
    cleanOrder(stepper, here, events, { now, mayBeUntold: true }) ??
    firstClean(stepper, here, events, now);
  told.splice(from, tied.length, ...order.map((chosen) => tied[chosen] as Told));
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

/** An order in which nothing is amiss, as the places of the events in the list. */
function cleanOrder(
  stepper: Stepper,
  { place, began }: Here,
  tied: readonly (ToldEvent | undefined)[],
  asked: Asked,
): number[] | undefined {
  if (tied.every((event) => event === undefined)) return [];
  for (const [index, event] of tied.entries()) {
    const way = event && stepper.findClean(place, event, began, asked.now);
    if (!way || (way.untold.length > 0 && !asked.mayBeUntold)) continue;
    const after = began.slice();
    const there = { place: stepper.go(way, after, asked.now), began: after };
    const rest = cleanOrder(stepper, there, tied.with(index, undefined), asked);
    if (rest) return [index, ...rest];
  }
  return undefined;
}

/** As they are, but for one with which nothing is amiss: that is first. */
function firstClean(
  stepper: Stepper,
  { place, began }: Here,
  tied: readonly ToldEvent[],
  now: number,
): number[] {
  const ways = tied.map((event) => stepper.findClean(place, event, began, now));
  const plain = ways.findIndex((way) => way?.untold.length === 0);
  const first = plain >= 0 ? plain : ways.findIndex((way) => way !== undefined);
  const order = [...tied.keys()];
  return first < 0 ? order : [first, ...order.filter((index) => index !== first)];
}
