import type { Move, Place } from "./unfolding.ts";
import { includes, type Zone } from "./zone.ts";

/** No node: the parent of the first. */
export const NONE = -1;

/** What is known of a new node beside its zone. */
export interface Arrival {
  readonly place: Place;
  readonly parent: number;
  readonly move: Move | undefined;
  /** The number of the first deadline that was past on entering, or `IN_TIME`. */
  readonly passed: number;
  readonly decisions: number;
}

/**
 * The nodes of a search: a place with a zone, and how it was come to. Nodes count from 0 in the order in which
 * they were stored. The zones lie one behind the other in an array that grows.
 */
export class Nodes {
  readonly #arrivals: Arrival[] = [];
  readonly #zoneAt: number[] = [];
  readonly #isCovered: boolean[] = [];
  /** By place: the nodes that no later one covers. */
  readonly #kept: number[][] = [];
  #zones = new Int32Array(1 << 12);
  #used = 0;
  #coveredCount = 0;

  get count(): number {
    return this.#arrivals.length;
  }

  get coveredCount(): number {
    return this.#coveredCount;
  }

  /** All zones; taken anew after each `add`, which may move them. */
  get zones(): Int32Array {
    return this.#zones;
  }

  /** How many entries of zones there are: four bytes each. */
  get entries(): number {
    return this.#used;
  }

  arrival(node: number): Arrival {
    return this.#arrivals[node] as Arrival;
  }

  zoneAt(node: number): number {
    return this.#zoneAt[node] as number;
  }

  /** Whether a later node without more decisions has all its points: nothing is lost by not going on from here. */
  isCovered(node: number): boolean {
    return this.#isCovered[node] as boolean;
  }

  /** How many nodes of the place no other covers. */
  keptCount(place: Place): number {
    return this.#kept[place.index]?.length ?? 0;
  }

  /**
   * Stores a node, unless one that needs no more decisions has all its points; then the answer is `NONE`. Nodes
   * that the new one covers without needing more decisions than they are marked as covered.
   */
  add(zone: Zone, arrival: Arrival): number {
    const { place, decisions } = arrival;
    const kept = this.#keptAt(place);
    for (let at = 0; at < kept.length; at += 1) {
      const other = kept[at] as number;
      if (this.arrival(other).decisions > decisions) continue;
      if (includes(this.#zones, this.zoneAt(other), zone, 0, place.size)) return NONE;
    }
    this.#dropCovered(kept, zone, arrival);
    const node = this.count;
    kept.push(node);
    this.#arrivals.push(arrival);
    this.#isCovered.push(false);
    this.#zoneAt.push(this.#keep(zone, place.size * place.size));
    return node;
  }

  #keptAt({ index }: Place): number[] {
    while (this.#kept.length <= index) this.#kept.push([]);
    return this.#kept[index] as number[];
  }

  #dropCovered(kept: number[], zone: Zone, { place, decisions }: Arrival): void {
    let left = 0;
    for (let at = 0; at < kept.length; at += 1) {
      const other = kept[at] as number;
      if (
        this.arrival(other).decisions >= decisions &&
        includes(zone, 0, this.#zones, this.zoneAt(other), place.size)
      ) {
        this.#isCovered[other] = true;
        this.#coveredCount += 1;
      } else {
        kept[left] = other;
        left += 1;
      }
    }
    kept.length = left;
  }

  #keep(zone: Zone, length: number): number {
    const at = this.#used;
    if (at + length > this.#zones.length) {
      const grown = new Int32Array(Math.max(2 * this.#zones.length, at + length));
      grown.set(this.#zones);
      this.#zones = grown;
    }
    for (let entry = 0; entry < length; entry += 1) this.#zones[at + entry] = zone[entry] as number;
    this.#used = at + length;
    return at;
  }
}
