import type { FiniteAutomaton, FiniteLocation } from "../../language/runs/zones/finite-system.ts";
import type { Constraint, TimedEdge } from "../../language/runs/zones/timed-system.ts";
import { largestConstants } from "./random-automaton.ts";

/**
 * All clock values that no constraint tells apart, now or later: for each clock its whole part up to its
 * largest constant (one more stands for everything beyond), and the order of the fractions of those not beyond
 * (0: none, 1: the smallest, and so on).
 */
interface Region {
  readonly whole: readonly number[];
  readonly order: readonly number[];
}

/** What the enumeration of all regions finds, by location. */
export interface RegionAnswer {
  /** The fewest decisions with which each location is entered. */
  readonly decisions: ReadonlyMap<number, number>;
  readonly stuck: ReadonlySet<number>;
  /** The least total time of entering each location with the fewest decisions, when a total was asked for. */
  readonly earliest: ReadonlyMap<number, { readonly value: number; readonly strict: boolean }>;
}

/**
 * Visits every region of an automaton in the order of decisions. With `mostTotal` a clock that is never reset
 * is added, exact up to that many units; a later entry has no `earliest`.
 */
export function enumerateRegions(automaton: FiniteAutomaton, mostTotal?: number): RegionAnswer {
  const largest = [...largestConstants(automaton), ...(mostTotal === undefined ? [] : [mostTotal])];
  return new Enumeration(automaton, largest, mostTotal).run();
}

interface Standing {
  readonly location: number;
  readonly region: Region;
}

class Enumeration {
  readonly #automaton: FiniteAutomaton;
  readonly #largest: readonly number[];
  readonly #mostTotal: number | undefined;
  readonly #seen = new Set<string>();
  readonly #decisions = new Map<number, number>();
  readonly #stuck = new Set<number>();
  readonly #earliest = new Map<number, { value: number; strict: boolean }>();
  #now: Standing[] = [];
  #later: Standing[] = [];
  #level = 0;

  constructor(automaton: FiniteAutomaton, largest: readonly number[], mostTotal: number | undefined) {
    this.#automaton = automaton;
    this.#largest = largest;
    this.#mostTotal = mostTotal;
  }

  run(): RegionAnswer {
    const zero = this.#largest.map(() => 0);
    this.#enter(this.#automaton.initial, { whole: zero, order: zero }, false);
    for (; this.#now.length > 0; this.#level += 1) {
      for (let at = 0; at < this.#now.length; at += 1) this.#visit(this.#now[at] as Standing);
      this.#now = this.#later;
      this.#later = [];
    }
    return { decisions: this.#decisions, stuck: this.#stuck, earliest: this.#earliest };
  }

  #location(number: number): FiniteLocation {
    return this.#automaton.locations[number] as FiniteLocation;
  }

  #enter(location: number, region: Region, isDecision: boolean): void {
    if (allHold(this.#location(location).invariant, region)) {
      (isDecision ? this.#later : this.#now).push({ location, region });
    }
  }

  #visit({ location, region }: Standing): void {
    const key = `${location}:${region.whole}:${region.order}`;
    if (this.#seen.has(key)) return;
    this.#seen.add(key);
    this.#note(location, region);
    for (const edge of this.#location(location).edges) {
      if (allHold(edge.guard, region)) this.#enter(edge.target, reset(region, edge.resets), edge.isDecision);
    }
    const later = this.#afterAWait(location, region);
    if (later !== undefined) this.#now.push({ location, region: later });
    if (!this.#canGoOn(location, region)) this.#stuck.add(location);
  }

  #note(location: number, region: Region): void {
    if (!this.#decisions.has(location)) this.#decisions.set(location, this.#level);
    const total = region.whole.at(-1) ?? 0;
    if (this.#mostTotal === undefined || total > this.#mostTotal) return;
    if (this.#decisions.get(location) !== this.#level) return;
    const strict = region.order.at(-1) !== 0;
    const known = this.#earliest.get(location);
    const isEarlier =
      known === undefined || total < known.value || (total === known.value && known.strict && !strict);
    if (isEarlier) this.#earliest.set(location, { value: total, strict });
  }

  #canGoOn(location: number, from: Region): boolean {
    for (let region: Region | undefined = from; region !== undefined; ) {
      if (this.#location(location).edges.some((edge) => this.#isOpen(edge, region as Region))) return true;
      region = this.#afterAWait(location, region);
    }
    return false;
  }

  #isOpen(edge: TimedEdge, region: Region): boolean {
    const entered = reset(region, edge.resets);
    return allHold(edge.guard, region) && allHold(this.#location(edge.target).invariant, entered);
  }

  /** The next region that time comes to; undefined where it may not, or nothing changes any more. */
  #afterAWait(location: number, region: Region): Region | undefined {
    const { isUrgent, invariant, deadlines } = this.#location(location);
    const next = nextInTime(region, this.#largest);
    const isAllowed = !isUrgent && next !== undefined && allHold([...invariant, ...deadlines], next);
    return isAllowed ? next : undefined;
  }
}

function nextInTime({ whole, order }: Region, largest: readonly number[]): Region | undefined {
  const isBeyond = (clock: number): boolean => (whole[clock] ?? 0) > (largest[clock] ?? 0);
  const inside = whole.map((_, clock) => clock).filter((clock) => clock > 0 && !isBeyond(clock));
  if (inside.length === 0) return undefined;
  const nextWhole = [...whole];
  const nextOrder = [...order];
  const onTheDot = inside.filter((clock) => order[clock] === 0);
  if (onTheDot.length > 0) {
    for (const clock of inside) nextOrder[clock] = (order[clock] ?? 0) + 1;
    for (const clock of onTheDot) {
      if (whole[clock] === largest[clock]) {
        nextWhole[clock] = (whole[clock] ?? 0) + 1;
        nextOrder[clock] = 0;
      }
    }
  } else {
    const highest = Math.max(...inside.map((clock) => order[clock] ?? 0));
    for (const clock of inside.filter((one) => order[one] === highest)) {
      nextWhole[clock] = (whole[clock] ?? 0) + 1;
      nextOrder[clock] = 0;
    }
  }
  return { whole: nextWhole, order: ranked(nextOrder) };
}

function reset({ whole, order }: Region, resets: readonly number[]): Region {
  const cleared = (values: readonly number[]): number[] =>
    values.map((value, clock) => (resets.includes(clock) ? 0 : value));
  return { whole: cleared(whole), order: ranked(cleared(order)) };
}

/** The same order with no number left out. */
function ranked(order: readonly number[]): number[] {
  const steps = [...new Set(order)].filter((step) => step > 0).sort((a, b) => a - b);
  return order.map((step) => (step === 0 ? 0 : steps.indexOf(step) + 1));
}

function allHold(constraints: readonly Constraint[], region: Region): boolean {
  return constraints.every((constraint) => holds(constraint, region));
}

function holds({ clock, kind, limit }: Constraint, { whole, order }: Region): boolean {
  const value = whole[clock] ?? 0;
  const isExact = order[clock] === 0;
  switch (kind) {
    case "at-most":
      return value < limit || (value === limit && isExact);
    case "under":
      return value < limit;
    case "at-least":
      return value >= limit;
    case "over":
      return value > limit || (value === limit && !isExact);
  }
}
