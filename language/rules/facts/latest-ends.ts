import type { Protocol, Step } from "../../model/index.ts";
import { writtenTime } from "./longest-time.ts";
import type { WayPlace } from "./ways.ts";

interface Arrival {
  readonly at: WayPlace;
  readonly seconds: number;
  /** The places on the way to it. */
  readonly passed: ReadonlySet<WayPlace>;
}

/**
 * For each step behind some places the latest that it ends after them, in seconds, over all ways: what is written of times is
 * counted, all else takes none. Infinite behind a step without a longest time, and where emergencies lead in a circle. What is in
 * a `repeat` is told of its first round.
 */
export function latestEnds(firsts: readonly WayPlace[], protocol: Protocol): ReadonlyMap<Step, number> {
  const latest = new Map<WayPlace, number>();
  const ends = new Map<Step, number>();
  const open: Arrival[] = firsts.map((at) => ({ at, seconds: 0, passed: new Set() }));
  for (let arrival = open.pop(); arrival; arrival = open.pop()) {
    const { at, passed } = arrival;
    const known = latest.get(at);
    if (known !== undefined && known >= arrival.seconds) continue;
    // Whoever comes back to a place later than before may come back for ever.
    const seconds = passed.has(at) ? Number.POSITIVE_INFINITY : arrival.seconds;
    latest.set(at, seconds);
    if (at.kind === "step") {
      const end = seconds + writtenTime(at.step, protocol);
      ends.set(at.step, Math.max(end, ends.get(at.step) ?? 0));
    }
    const further = new Set([...passed, at]);
    open.push(...leave(at, seconds, latest, protocol).map((next) => ({ ...next, passed: further })));
  }
  return ends;
}

function leave(
  place: WayPlace,
  seconds: number,
  latest: ReadonlyMap<WayPlace, number>,
  protocol: Protocol,
): Pick<Arrival, "at" | "seconds">[] {
  switch (place.kind) {
    case "step":
      return place.next.map((at) => ({ at, seconds: seconds + writtenTime(place.step, protocol) }));
    case "rest": {
      const shortest = place.step.takes?.shortest.valueOf() ?? 0;
      return place.next.map((at) => ({ at, seconds: seconds + shortest }));
    }
    case "round": {
      const [first, after] = place.next;
      if (!after) return [];
      // Without an end it is without an end however often it is done.
      if (seconds === Number.POSITIVE_INFINITY) return [{ at: after, seconds }];
      const round = seconds - ((first && latest.get(first)) ?? 0);
      return [{ at: after, seconds: seconds + (place.step.times - 1) * round }];
    }
    case "question":
    case "emergency":
    case "end":
      return place.next.map((at) => ({ at, seconds }));
  }
}
