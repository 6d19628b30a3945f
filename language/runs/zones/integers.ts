/** A list of whole numbers that grows, four bytes each. */
export class Integers {
  #values = new Int32Array(64);
  #length = 0;

  get length(): number {
    return this.#length;
  }

  at(index: number): number {
    return this.#values[index] as number;
  }

  set(index: number, value: number): void {
    this.#values[index] = value;
  }

  push(value: number): void {
    if (this.#length === this.#values.length) {
      const longer = new Int32Array(2 * this.#values.length);
      longer.set(this.#values);
      this.#values = longer;
    }
    this.#values[this.#length] = value;
    this.#length += 1;
  }

  clear(): void {
    this.#length = 0;
  }

  isSameAs(list: readonly number[]): boolean {
    if (list.length !== this.#length) return false;
    for (let index = 0; index < list.length; index += 1) {
      if (list[index] !== this.#values[index]) return false;
    }
    return true;
  }

  toArray(): number[] {
    const list = new Array<number>(this.#length);
    for (let index = 0; index < list.length; index += 1) list[index] = this.at(index);
    return list;
  }
}
