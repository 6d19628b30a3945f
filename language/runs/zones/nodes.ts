import { Integers } from "./integers.ts";
import type { Place } from "./unfolding.ts";
import { includes, type Zone } from "./zone.ts";
import { ZoneStore } from "./zone-store.ts";

/** No node: the parent of the first. */
export const NONE = -1;

/** What is known of a node beside its zone. */
export interface Arrival {
  readonly place: Place;
  readonly parent: number;
  /** The edge's place among those of the parent's state. */
  readonly edge: number;
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
  readonly #edges = new Integers();
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
      edge: this.#edges.at(node),
      passed: this.#passed.at(node),
      decisions: this.decisions(node),
    };
  }

  /** Whether a later node without more decisions has all its points: nothing is lost by not going on from here. */
  isCovered(node: number): boolean {
    return this.#status.at(node) === COVERED;
  }

  /** Whether the last edge on the way to it was a decision. */
  isAfterDecision(node: number): boolean {
    const parent = this.#parents.at(node);
    return parent !== NONE && this.#decisions.at(parent) < this.#decisions.at(node);
  }

  /** From now on the node's zone is kept even when a later node covers it. */
  keepForGood(node: number): void {
    this.#status.set(node, DONE);
  }

  /**
   * Stops comparing with nodes whose points this one has too. To be called once all later nodes need as many
   * decisions as this one: whatever the others would cover from then on, it covers.
   */
  standInForCovered(node: number): void {
    this.#dropCovered(this.zones.block(node), this.zones.at(node), node, 0);
  }

  countKept({ index }: Place): number {
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
    const node = this.count;
    this.#places.push(place);
    this.#edges.push(edge);
    this.#parents.push(parent);
    this.#passed.push(passed);
    this.#decisions.push(decisions);
    this.#status.push(WAITING);
    this.#know(place);
    const dropped = this.#dropCovered(zone, 0, node, decisions);
    this.#link(node, place.index, dropped);
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

  #link(node: number, index: number, dropped: number): void {
    this.#older.push(this.#newest.at(index));
    this.#newest.set(index, node);
    this.#keptCount.set(index, this.#keptCount.at(index) + 1);
    const first = this.#first.at(index);
    if (first === NONE || first === dropped || this.decisions(first) > this.decisions(node)) {
      this.#first.set(index, node);
    }
  }

  /**
   * Takes nodes with so many decisions or more off the list of their place when the node of this zone has all
   * their points. Gives one that was still waiting, whose zone nobody can ask for any more; else `NONE`.
   */
  #dropCovered(zone: Int32Array, at: number, by: number, fewest: number): number {
    const { index, layout } = this.place(by);
    let newer = NONE;
    let dropped = NONE;
    for (let node = this.#newest.at(index); node !== NONE; node = this.#older.at(node)) {
      if (node === by || this.#decisions.at(node) < fewest || !this.#isWithin(zone, at, node, layout.size)) {
        newer = node;
        continue;
      }
      this.#unlink(index, node, newer);
      if (this.#decisions.at(node) < this.#decisions.at(by)) continue;
      if (this.#status.at(node) === WAITING) dropped = node;
      this.#status.set(node, COVERED);
    }
    return dropped;
  }

  #isWithin(zone: Int32Array, at: number, node: number, size: number): boolean {
    return includes(zone, at, this.zones.block(node), this.zones.at(node), size);
  }

  #unlink(index: number, node: number, newer: number): void {
    const older = this.#older.at(node);
    if (newer === NONE) this.#newest.set(index, older);
    else this.#older.set(newer, older);
    this.#keptCount.set(index, this.#keptCount.at(index) - 1);
    this.#coveredCount += 1;
  }
}
