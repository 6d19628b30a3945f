import { Integers } from "./integers.ts";
import type { TimedEdge } from "./timed-system.ts";
import type { Place } from "./unfolding.ts";
import { includes, type Zone } from "./zone.ts";
import { ZoneStore } from "./zone-store.ts";

/** No node: the parent of the first. */
export const NONE = -1;

/** What is known of a node beside its zone. */
export interface Arrival {
  readonly place: Place;
  readonly parent: number;
  readonly edge: TimedEdge | undefined;
  /** The number of the first deadline that was past on entering, or `IN_TIME`. */
  readonly passed: number;
  readonly decisions: number;
}

/** Still to be gone on from; gone on from, or a target; covered by a later node before or after that. */
const WAITING = 0;
const DONE = 1;
const COVERED = 2;

/**
 * The nodes of a search: a place with a zone, and how it was come to. Nodes count from 0 in the order in which
 * they were stored.
 */
export class Nodes {
  readonly zones = new ZoneStore();
  /** By node. */
  readonly #places: Place[] = [];
  readonly #edges: (TimedEdge | undefined)[] = [];
  readonly #parents = new Integers();
  readonly #passed = new Integers();
  readonly #decisions = new Integers();
  readonly #status = new Integers();
  /** The next older node of the same place that is kept: one that no later node covers. */
  readonly #older = new Integers();
  /** By place: the newest node that is kept, how many are, and the first of those with the fewest decisions. */
  readonly #newest = new Integers();
  readonly #keptCount = new Integers();
  readonly #first = new Integers();
  #coveredCount = 0;

  get count(): number {
    return this.#places.length;
  }

  get coveredCount(): number {
    return this.#coveredCount;
  }

  place(node: number): Place {
    return this.#places[node] as Place;
  }

  decisions(node: number): number {
    return this.#decisions.at(node);
  }

  arrival(node: number): Arrival {
    return {
      place: this.place(node),
      parent: this.#parents.at(node),
      edge: this.#edges[node],
      passed: this.#passed.at(node),
      decisions: this.decisions(node),
    };
  }

  /** Whether a later node without more decisions has all its points: nothing is lost by not going on from here. */
  isCovered(node: number): boolean {
    return this.#status.at(node) === COVERED;
  }

  /** From now on the node's zone is kept even when a later node covers it. */
  keepForGood(node: number): void {
    this.#status.set(node, DONE);
  }

  keptCount({ index }: Place): number {
    return index < this.#keptCount.length ? this.#keptCount.at(index) : 0;
  }

  /** The discrete states reached, each with its first node: one with the fewest decisions. */
  firstNodes(): Map<number, number> {
    const found = new Map<number, number>();
    for (let index = 0; index < this.#first.length; index += 1) {
      const node = this.#first.at(index);
      if (node !== NONE) found.set(this.place(node).state, node);
    }
    return found;
  }

  /** Whether a node that needs no more decisions has all points of the zone. */
  covers(zone: Zone, { index, layout: { size } }: Place, decisions: number): boolean {
    const newest = index < this.#newest.length ? this.#newest.at(index) : NONE;
    for (let node = newest; node !== NONE; node = this.#older.at(node)) {
      if (this.#decisions.at(node) > decisions) continue;
      if (includes(this.zones.block(node), this.zones.at(node), zone, 0, size)) return true;
    }
    return false;
  }

  /**
   * Stores a node that no other covers. Those it covers, and that do not need fewer decisions, are marked as
   * covered.
   */
  add(zone: Zone, { place, parent, edge, passed, decisions }: Arrival): number {
    this.#know(place);
    const dropped = this.#dropCovered(zone, place, decisions);
    const node = this.count;
    this.#older.push(this.#newest.at(place.index));
    this.#newest.set(place.index, node);
    this.#keptCount.set(place.index, this.#keptCount.at(place.index) + 1);
    const first = this.#first.at(place.index);
    if (first === NONE || first === dropped || this.decisions(first) > decisions) {
      this.#first.set(place.index, node);
    }
    this.#places.push(place);
    this.#edges.push(edge);
    this.#parents.push(parent);
    this.#passed.push(passed);
    this.#decisions.push(decisions);
    this.#status.push(WAITING);
    this.zones.keep(zone, place.layout.size, dropped);
    return node;
  }

  #know({ index }: Place): void {
    while (this.#newest.length <= index) {
      this.#newest.push(NONE);
      this.#keptCount.push(0);
      this.#first.push(NONE);
    }
  }

  /** One that was still waiting, whose zone nobody can ask for any more; else `NONE`. */
  #dropCovered(zone: Zone, { index, layout: { size } }: Place, decisions: number): number {
    let newer = NONE;
    let dropped = NONE;
    for (let node = this.#newest.at(index); node !== NONE; ) {
      const older = this.#older.at(node);
      if (
        this.#decisions.at(node) >= decisions &&
        includes(zone, 0, this.zones.block(node), this.zones.at(node), size)
      ) {
        this.#unlink(index, node, newer);
        if (this.#status.at(node) === WAITING) dropped = node;
        this.#status.set(node, COVERED);
      } else {
        newer = node;
      }
      node = older;
    }
    return dropped;
  }

  #unlink(index: number, node: number, newer: number): void {
    const older = this.#older.at(node);
    if (newer === NONE) this.#newest.set(index, older);
    else this.#older.set(newer, older);
    this.#keptCount.set(index, this.#keptCount.at(index) - 1);
    this.#coveredCount += 1;
  }
}
