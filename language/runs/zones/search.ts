import type { Extrapolation } from "./layout.ts";
import { type Arrival, NONE, Nodes } from "./nodes.ts";
import { type Interruption, Patience, type PatienceOptions } from "./patience.ts";
import { IN_TIME, lastPassed, Stepper } from "./stepper.ts";
import type { TimedEdge, TimedSystem } from "./timed-system.ts";
import { isOpenAtZero, type Move, type Place, Unfolding } from "./unfolding.ts";
import type { ZoneView } from "./zone-view.ts";

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
    if (!isOpenAtZero(first)) return;
    this.#stepper.start(first);
    this.#arrive(first, NONE, NONE, 0);
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
    this.nodes.keepForGood(node);
    if (this.nodes.isAfterDecision(node)) this.nodes.standInForCovered(node);
    const place = this.nodes.place(node);
    const edges = this.unfolding.edges(place);
    for (let at = 0; at < edges.length; at += 1) {
      const edge = edges[at] as TimedEdge;
      const move = this.unfolding.move(place, edge);
      if (move === undefined) continue;
      this.#take(node, at, edge, move);
      const interruption = this.#interruption(move.target);
      if (interruption !== undefined) return interruption;
    }
    return undefined;
  }

  #interruption(place: Place): Interruption | undefined {
    const nodes = this.nodes;
    if (this.#stepper.wentFar) return { end: "out-of-budget", limit: "values" };
    const { size } = place.layout;
    const work = size ** 2 * (size + nodes.countKept(place) + 10);
    return this.patience.sizeExceeded(nodes.count, nodes.zones.entries) ?? this.patience.afterWork(work);
  }

  #take(node: number, number: number, edge: TimedEdge, move: Move): void {
    const stepper = this.#stepper;
    const source = this.nodes.place(node);
    const { zones } = this.nodes;
    if (!stepper.leave(zones.block(node), zones.at(node), source, move)) return;
    this.transitions += 1;
    this.#options.onEdge?.(edge, node, stepper.leaving(source));
    stepper.enter(source, move);
    const decisions = this.nodes.decisions(node) + (edge.isDecision ? 1 : 0);
    this.#arrive(move.target, node, number, decisions);
  }

  #arrive(place: Place, parent: number, edge: number, decisions: number): void {
    const last = lastPassed(place);
    for (let passed = IN_TIME; passed <= last; passed += 1) {
      if (!this.#stepper.settle(place, passed)) continue;
      if (this.nodes.covers(this.#stepper.settled, place, decisions)) continue;
      this.#store({ place, parent, edge, passed, decisions });
    }
  }

  #store(arrival: Arrival): void {
    const { place, decisions } = arrival;
    const node = this.nodes.add(this.#stepper.settled, arrival);
    if (this.#options.stopAt?.(place.state)) this.#consider(node, decisions);
    else (decisions === this.#decisions ? this.#waiting : this.#later).push(node);
  }

  /** A target is not gone on from: whatever enters it again does so later, or with more decisions. */
  #consider(node: number, decisions: number): void {
    this.nodes.keepForGood(node);
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
    const { size } = this.nodes.place(node).layout;
    return this.nodes.zones.block(node)[this.nodes.zones.at(node) + size - 1] as number;
  }
}
