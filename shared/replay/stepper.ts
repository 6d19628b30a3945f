import type { RunsExplored } from "../rule-file/generated/rule-file.ts";
import { firstState, forceMoves, type State } from "../runtime/index.ts";
import { WayFinder } from "./find-ways.ts";
import { keysOfEdges, type ToldEvent } from "./known-events.ts";
import { type Ask, isTrue, lengthOf, momentValue, type Term, type Way } from "./way.ts";
import type { WayOptions } from "./way-steps.ts";

/** A place of a protocol, with the ways from it that were worked out. One value for one state. */
export interface Place {
  readonly state: State;
  readonly within: Map<ToldEvent, readonly WayTo[]>;
  readonly ahead: Map<ToldEvent, readonly WayTo[]>;
}

/** A way with the place it leads to, so that nobody has to look for it each time. */
export interface WayTo extends Way {
  readonly place: Place;
}

/** What a way asks and does not get from the times. */
export interface Measured {
  readonly way: WayTo;
  readonly early: readonly { readonly edge: number; readonly by: number }[];
  readonly late: readonly { readonly edge: number; readonly by: number }[];
  readonly rules: readonly BrokenCheck[];
}

export interface BrokenCheck {
  readonly check: number;
  /** How many seconds too early, or too late where it is negative; missing where it is no matter of time. */
  readonly by?: number;
  /** The times that its clocks began at, which tells one break of a rule from the next. */
  readonly began: string;
}

/**
 * A protocol made ready for many cases: places are worked out once, and then cost a few comparisons of times an event. What an
 * event means is asked of the runtime (`movesOf`) alone.
 */
export class Stepper {
  readonly finder: WayFinder;
  readonly forced: (state: State, edge: number) => ReturnType<ReturnType<typeof forceMoves>>;
  /** What tells the events of the edges apart. */
  readonly keys: readonly string[];
  readonly clocks: number;
  readonly grace: number;
  /** Where every case begins. */
  readonly first: Place;
  readonly #values: Float64Array;
  readonly #places = new Map<string, Place>();

  constructor({ automaton }: RunsExplored, options: WayOptions) {
    this.grace = options.grace;
    this.finder = new WayFinder(automaton, options);
    this.forced = forceMoves(automaton);
    this.keys = keysOfEdges(automaton);
    this.clocks = automaton.clocks.length;
    this.#values = new Float64Array(this.clocks);
    this.first = this.placeOf(firstState(automaton));
  }

  placeOf(state: State): Place {
    const key = state.join(" ");
    const known = this.#places.get(key);
    if (known) return known;
    const place: Place = { state, within: new Map(), ahead: new Map() };
    this.#places.set(key, place);
    return place;
  }

  waysWithin(place: Place, event: ToldEvent): readonly WayTo[] {
    return place.within.get(event) ?? this.#findWays("within", place, event);
  }

  waysAhead(place: Place, event: ToldEvent): readonly WayTo[] {
    return place.ahead.get(event) ?? this.#findWays("ahead", place, event);
  }

  /** The first way on which nothing is amiss; one on which nothing is untold, if there is one. */
  findClean(place: Place, event: ToldEvent, began: Float64Array, now: number): WayTo | undefined {
    const ways = this.waysWithin(place, event);
    for (let index = 0; index < ways.length; index += 1) {
      const way = ways[index] as WayTo;
      if (isClean(way, began, now)) return way;
    }
    return undefined;
  }

  /** Of several ways, those that the order of times allows, the one with the least amiss first. */
  rankWays(ways: readonly WayTo[], began: Float64Array, now: number): Measured[] {
    const weight = ({ early, late, rules, way }: Measured) =>
      early.length + late.length + rules.length + way.untold.length / 2 + way.leftOut.length;
    const excess = ({ early, late }: Measured) => [...early, ...late].reduce((sum, { by }) => sum + by, 0);
    return ways
      .flatMap((way) => measureWay(way, began, now) ?? [])
      .sort((a, b) => weight(a) - weight(b) || excess(a) - excess(b));
  }

  /**
   * Of the ways that do the same as one on which something comes too late, the one that breaks most by it: where nobody told the end of the step in
   * hand, it went on until the next one was told, as in the runtime, and not only as long as it had to.
   */
  strictest(measured: Measured, ways: readonly WayTo[], began: Float64Array, now: number): Measured {
    if (measured.late.length === 0 || measured.early.length > 0) return measured;
    const alike = this.rankWays(ways, began, now).filter(
      ({ way, late, early, rules }) =>
        late.length > 0 &&
        early.length === 0 &&
        rules.every(({ by = 0 }) => by < 0) &&
        isAlike(way, measured.way),
    );
    return alike.reduce((most, one) => (one.rules.length > most.rules.length ? one : most), measured);
  }

  /** Goes a way: sets the clocks, and gives the place it leads to. */
  go({ resets, place }: WayTo, began: Float64Array, now: number): Place {
    // A clock may begin when another one did, as that stood before.
    const values = this.#values;
    for (let index = 0; index < resets.length; index += 1) {
      values[index] = momentValue((resets[index] as Way["resets"][number]).at, began, now);
    }
    for (let index = 0; index < resets.length; index += 1) {
      began[(resets[index] as Way["resets"][number]).clock] = values[index] as number;
    }
    began[this.clocks] = now;
    began[this.clocks + 1] = now;
    return place;
  }

  #findWays(where: "within" | "ahead", { state, [where]: known }: Place, event: ToldEvent): WayTo[] {
    if (!event.isKnown) return [];
    const found =
      where === "within" ? this.finder.waysWithin(state, event) : this.finder.waysAhead(state, event);
    const ways = found.map((way) => ({ ...way, place: this.placeOf(way.target) }));
    known.set(event, ways);
    return ways;
  }
}

/** Whether two ways do the same, if not at the same times. */
function isAlike(a: Way, b: Way): boolean {
  return (
    a.moves.length === b.moves.length &&
    a.moves.every(({ edge, passedOver }, at) => {
      const other = b.moves[at];
      return other?.edge === edge && other.passedOver === passedOver;
    })
  );
}

function isClean({ asks, broken }: Way, began: Float64Array, now: number): boolean {
  if (broken.length > 0) return false;
  for (let index = 0; index < asks.length; index += 1) {
    const { asked, terms } = asks[index] as Ask;
    if (asked.kind === "rule" ? allTrue(terms, began, now) : !anyTrue(terms, began, now)) return false;
  }
  return true;
}

export function isAmiss({ early, late, rules }: Measured): boolean {
  return early.length + late.length + rules.length > 0;
}

/** Undefined where the way asks for an order of times that was not. */
function measureWay(way: WayTo, began: Float64Array, now: number): Measured | undefined {
  const early: { edge: number; by: number }[] = [];
  const late: { edge: number; by: number }[] = [];
  const rules: BrokenCheck[] = way.broken.map((check) => ({ check, began: "" }));
  for (const { asked, terms } of way.asks) {
    if (asked.kind === "rule" ? !allTrue(terms, began, now) : anyTrue(terms, began, now)) continue;
    const by = Math.min(...terms.map((term) => missing(term, began, now)));
    switch (asked.kind) {
      case "order":
        return undefined;
      case "rule":
        rules.push({ check: asked.check, by: isLate(terms) ? -by : by, began: startsOf(terms, began) });
        break;
      case "early":
        early.push({ edge: asked.edge, by });
        break;
      case "late":
        late.push({ edge: asked.edge, by: by + asked.grace });
    }
  }
  return { way, early, late, rules };
}

/** How far a time is from where a condition is no longer so. */
function missing(term: Term, began: Float64Array, now: number): number {
  return Math.abs(term.seconds - lengthOf(term, began, now));
}

/** Whether terms are so because a time is past. */
function isLate(terms: readonly Term[]): boolean {
  return terms.every(({ is }) => is === "over" || is === "at-least");
}

function startsOf(terms: readonly Term[], began: Float64Array): string {
  return terms.map(({ from }) => `${from}:${began[from]}`).join();
}

function allTrue(terms: readonly Term[], began: Float64Array, now: number): boolean {
  for (let index = 0; index < terms.length; index += 1) {
    if (!isTrue(terms[index] as Term, began, now)) return false;
  }
  return true;
}

function anyTrue(terms: readonly Term[], began: Float64Array, now: number): boolean {
  for (let index = 0; index < terms.length; index += 1) {
    if (isTrue(terms[index] as Term, began, now)) return true;
  }
  return terms.length === 0;
}
