/** A part of a protocol that stands in a Bundle in words only, or not at all, because FHIR R4 has no element for it. */
export interface NotCoded {
  readonly kept: "in-words" | "left-out";
  /** Which part, in the author's names: "dose local". */
  readonly part: string;
  /** What of it. */
  readonly what: string;
}

/** Takes note of what is not coded while resources are made. Every part is noted once. */
export class NotCodedList {
  readonly #noted = new Map<string, NotCoded>();

  inWords(part: string, what: string): void {
    this.#note({ kept: "in-words", part, what });
  }

  noteLeftOut(part: string, what: string): void {
    this.#note({ kept: "left-out", part, what });
  }

  /** What is left out stands first. */
  all(): NotCoded[] {
    const noted = [...this.#noted.values()];
    return [
      ...noted.filter(({ kept }) => kept === "left-out"),
      ...noted.filter(({ kept }) => kept === "in-words"),
    ];
  }

  #note(one: NotCoded): void {
    this.#noted.set(JSON.stringify(one), one);
  }
}
