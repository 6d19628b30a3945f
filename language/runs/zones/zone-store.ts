import { Integers } from "./integers.ts";
import { copy, type Zone } from "./zone.ts";

/** Entries of one block: large enough that there are few blocks, small enough that the last one wastes little. */
const BLOCK = 1 << 16;

/** Keeps zones for good, many in one array, in blocks that are never moved. Zones are numbered from 0. */
export class ZoneStore {
  readonly #block: Int32Array[] = [];
  readonly #at = new Integers();
  #last = new Int32Array(0);
  #used = 0;
  #entries = 0;

  /** How many matrix entries are kept, each of four bytes. */
  get entries(): number {
    return this.#entries;
  }

  /** The array the zone lies in. */
  block(zone: number): Int32Array {
    return this.#block[zone] as Int32Array;
  }

  /** Where in its array the zone begins. */
  at(zone: number): number {
    return this.#at.at(zone);
  }

  /** Keeps one more zone, in place of the zone `former` of the same size when that is one: nobody may ask for it then. */
  keep(zone: Zone, size: number, former: number): void {
    if (former >= 0) {
      this.#block.push(this.block(former));
      this.#at.push(this.at(former));
    } else this.#add(size * size);
    const last = this.#block.length - 1;
    copy(zone, 0, this.block(last), this.at(last), size);
  }

  #add(length: number): void {
    if (this.#used + length > this.#last.length) {
      this.#last = new Int32Array(Math.max(BLOCK, length));
      this.#used = 0;
    }
    this.#block.push(this.#last);
    this.#at.push(this.#used);
    this.#used += length;
    this.#entries += length;
  }
}
