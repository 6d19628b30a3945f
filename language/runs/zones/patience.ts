/** How long a search may go on. Without a limit it goes on until everything is seen. */
export interface PatienceOptions {
  /** The one limit that gives the same answer on every machine. */
  readonly mostNodes?: number;
  /** For the zones alone, which are nearly all there is; 1,024 unless said otherwise. */
  readonly mostMegabytes?: number;
  /** Asked every millisecond or so. */
  readonly isCancelled?: () => boolean;
}

/** Why a search ended before everything was seen. */
export interface Interruption {
  readonly end: "out-of-budget" | "cancelled";
  /** What was used up; `values`: a clock grew past what is reckoned with (a year in seconds). */
  readonly limit?: "nodes" | "megabytes" | "values";
}

/** Matrix entries looked at between two questions: about a millisecond's work. */
const WORK_BETWEEN_QUESTIONS = 250_000;
const ENTRIES_PER_MEGABYTE = 250_000;

/** Watches the limits of one search. */
export class Patience {
  readonly #options: PatienceOptions;
  readonly #mostEntries: number;
  #work = 0;

  constructor(options: PatienceOptions) {
    this.#options = options;
    this.#mostEntries = (options.mostMegabytes ?? 1024) * ENTRIES_PER_MEGABYTE;
  }

  /** Whether so many nodes, with so many matrix entries in all, are more than allowed. */
  sizeExceeded(nodes: number, entries: number): Interruption | undefined {
    if (nodes > (this.#options.mostNodes ?? Number.POSITIVE_INFINITY)) {
      return { end: "out-of-budget", limit: "nodes" };
    }
    return entries > this.#mostEntries ? { end: "out-of-budget", limit: "megabytes" } : undefined;
  }

  /** Counts work, in matrix entries looked at, and asks now and then whether to go on. */
  afterWork(entries: number): Interruption | undefined {
    this.#work += entries;
    if (this.#work < WORK_BETWEEN_QUESTIONS) return undefined;
    this.#work = 0;
    return this.#options.isCancelled?.() ? { end: "cancelled" } : undefined;
  }
}
