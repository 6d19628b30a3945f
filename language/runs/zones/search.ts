import { type Arrival, NONE, Nodes } from "./nodes.ts";
import { type Interruption, Patience, type PatienceOptions } from "./patience.ts";
import { IN_TIME, lastPassed, Stepper } from "./stepper.ts";
import type { TimedEdge, TimedSystem } from "./timed-system.ts";
import { type Extrapolation, type Move, type Place, Unfolding } from "./unfolding.ts";
import { viewOf, type ZoneView } from "./zone-view.ts";

export interface ExploreOptions extends PatienceOptions {
  /** `lower-upper` is the coarsest; `maximal` also keeps apart who can go on and who cannot. */
  readonly extrapolation: Extrapolation;
  /**
   * Ends the search at the first node of such a state, which has the fewest decisions of all. Together with
   * `withTotalTime` the earliest of those with the fewest decisions is found.
   */
  readonly stopAt?: (state: number) => boolean;
  /**
   * Adds a clock, numbered one more than the system has, whose least value is the least time since the start.
   * It has no greatest value.
   */
  readonly withTotalTime?: boolean;
  /** Told of every edge taken, with the points it is taken from: after the guard, before the resets. Read `zone` at once. */
  readonly onEdge?: (edge: TimedEdge, from: number, zone: ZoneView) => void;
}

/** `stopped`: at a state asked for. Only `complete` says that everything was seen. */
export interface SearchEnd {
  readonly end: "complete" | "stopped" | Interruption["end"];
  readonly limit?: Interruption["limit"];
}

/** Decisions and least total time of the best target so far. */
interface Best {
  readonly node: number;
  readonly decisions: number;
  /** The packed bound on 0 minus the total time: the greater, the earlier. */
  readonly earliness: number;
}

/** A search for what `explore` gives, with the places and zones it works on. */
export class Search {
  readonly #options: ExploreOptions;
  readonly unfolding: Unfolding;
  readonly nodes = new Nodes();
  readonly patience: Patience;
  /** Discrete states, each with its first node: one with the fewest decisions. */
  readonly states = new Map<number, number>();
  readonly #stepper: Stepper;
  /** Nodes to go on from with the decisions of now, and with one more. */
  #waiting: number[] = [];
  #later: number[] = [];
  #decisions = 0;
  transitions = 0;
  #best: Best | undefined;

  constructor(system: TimedSystem, options: ExploreOptions) {
    this.#options = options;
    this.unfolding = new Unfolding(system, options.extrapolation, options.withTotalTime === true);
    this.#stepper = new Stepper(options.extrapolation, options.withTotalTime === true, system.clockCount + 2);
    this.patience = new Patience(options);
    const first = this.unfolding.initial;
    if (!this.unfolding.isOpen(first)) return;
    this.#stepper.start(first);
    this.#arrive(first, NONE, undefined, 0);
  }

  /** Why it ended; to be called once. */
  run(): SearchEnd {
    while (this.#waiting.length > 0) {
      for (let at = 0; at < this.#waiting.length && !this.#isSettled(); at += 1) {
        const interruption = this.#goOnFrom(this.#waiting[at] as number);
        if (interruption !== undefined) return interruption;
      }
      if (this.#best?.decisions === this.#decisions) return { end: "stopped" };
      this.#waiting = this.#later;
      this.#later = [];
      this.#decisions += 1;
    }
    return { end: this.#best === undefined ? "complete" : "stopped" };
  }

  /** The node asked for by `stopAt`, so far. */
  get target(): number | undefined {
    return this.#best?.node;
  }

  /** Whether no better target can be found. */
  #isSettled(): boolean {
    return this.#best?.decisions === this.#decisions && this.#options.withTotalTime !== true;
  }

  #goOnFrom(node: number): Interruption | undefined {
    if (this.nodes.isCovered(node) || this.#isTooLate(node)) return undefined;
    const { place } = this.nodes.arrival(node);
    for (const move of this.unfolding.moves(place)) {
      this.#take(node, place, move);
      const interruption = this.#interruption(move.target);
      if (interruption !== undefined) return interruption;
    }
    return undefined;
  }

  #interruption(place: Place): Interruption | undefined {
    const nodes = this.nodes;
    if (this.#stepper.wentFar) return { end: "out-of-budget", limit: "values" };
    const work = place.size ** 2 * (place.size + nodes.keptCount(place) + 10);
    return this.patience.sizeExceeded(nodes.count, nodes.entries) ?? this.patience.afterWork(work);
  }

  #take(node: number, source: Place, move: Move): void {
    const stepper = this.#stepper;
    const { zones } = this.nodes;
    if (!stepper.leave(zones, this.nodes.zoneAt(node), source, move)) return;
    this.transitions += 1;
    this.#options.onEdge?.(move.edge, node, viewOf(source, stepper.leaving, 0));
    stepper.enter(source, move);
    const { decisions } = this.nodes.arrival(node);
    this.#arrive(move.target, node, move, decisions + (move.edge.isDecision ? 1 : 0));
  }

  #arrive(place: Place, parent: number, move: Move | undefined, decisions: number): void {
    const last = lastPassed(place);
    for (let passed = IN_TIME; passed <= last; passed += 1) {
      if (this.#stepper.settle(place, passed)) this.#store({ place, parent, move, passed, decisions });
    }
  }

  #store(arrival: Arrival): void {
    const node = this.nodes.add(this.#stepper.settled, arrival);
    if (node === NONE) return;
    const { place, decisions } = arrival;
    const first = this.states.get(place.state);
    if (first === undefined || this.nodes.arrival(first).decisions > decisions) {
      this.states.set(place.state, node);
    }
    if (this.#options.stopAt?.(place.state)) this.#consider(node, decisions);
    else (decisions === this.#decisions ? this.#waiting : this.#later).push(node);
  }

  /** A target is not gone on from: whatever enters it again does so later, or with more decisions. */
  #consider(node: number, decisions: number): void {
    const earliness = this.#earlinessOf(node);
    const best = this.#best;
    const isBetter =
      best === undefined ||
      decisions < best.decisions ||
      (decisions === best.decisions && earliness > best.earliness);
    if (isBetter) this.#best = { node, decisions, earliness };
  }

  #isTooLate(node: number): boolean {
    const best = this.#best;
    if (best === undefined || this.#options.withTotalTime !== true) return false;
    return best.decisions === this.#decisions && this.#earlinessOf(node) <= best.earliness;
  }

  #earlinessOf(node: number): number {
    if (this.#options.withTotalTime !== true) return 0;
    const { size } = this.nodes.arrival(node).place;
    return this.nodes.zones[this.nodes.zoneAt(node) + size - 1] as number;
  }
}
