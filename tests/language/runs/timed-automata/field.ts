/** A value of a JSON text with the way to it, so that what is wrong there can be said. */
export class Field {
  readonly #value: unknown;
  readonly #where: string;

  constructor(value: unknown, where: string) {
    this.#value = value;
    this.#where = where;
  }

  problem(words: string): Error {
    return new Error(`${this.#where} ${words}`);
  }

  at(name: string): Field {
    const value = this.#value;
    if (typeof value !== "object" || value === null || Array.isArray(value)) {
      throw this.problem(`must be an object with "${name}"`);
    }
    if (!Object.hasOwn(value, name)) throw this.problem(`has no "${name}"`);
    return new Field(Object.entries(value).find(([key]) => key === name)?.[1], `${this.#where} → ${name}`);
  }

  items(): Field[] {
    if (!Array.isArray(this.#value)) throw this.problem("must be a list");
    return this.#value.map((item, at) => new Field(item, `${this.#where}[${at}]`));
  }

  text(): string {
    if (typeof this.#value !== "string") throw this.problem("must be a text");
    return this.#value;
  }

  wholeNumber(): number {
    if (!Number.isInteger(this.#value) || Number(this.#value) < 0) {
      throw this.problem("must be a whole number, 0 or more");
    }
    return Number(this.#value);
  }

  oneOf<Text extends string>(allowed: readonly Text[]): Text {
    const found = allowed.find((text) => text === this.#value);
    if (found === undefined) {
      throw this.problem(`is ${JSON.stringify(this.#value)}, and must be ${allowed.join(" or ")}`);
    }
    return found;
  }

  /** The place of a name in a list of names. */
  positionIn(known: readonly string[]): number {
    const position = known.indexOf(this.text());
    if (position < 0) {
      throw this.problem(`is ${JSON.stringify(this.#value)}, and must be one of: ${known.join(", ")}`);
    }
    return position;
  }
}
