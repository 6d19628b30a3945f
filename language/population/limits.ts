/** How far one question may go before its answer is *not decided*. */
export interface Limits {
  /** The most pieces the patients may be cut into. */
  readonly mostPieces?: number;
  /** Asked again and again while working; `true` ends the work. */
  readonly cancelled?: () => boolean;
}

/** The question was given up; `limit` says in plain words at which limit. Never a pass. */
export interface NotDecided {
  readonly kind: "not-decided";
  readonly limit: string;
}

const MOST_PIECES = 20_000;
const PIECES_BETWEEN_CHECKS = 32;

/** Thrown inside the analysis and turned into `NotDecided` by `decide`; it never leaves this folder. */
export class LimitReached extends Error {}

/** Counts what a question has cost so far. */
export class Work {
  readonly #most: number;
  readonly #cancelled: () => boolean;
  #pieces = 0;
  #untilCheck = 0;

  constructor(limits: Limits) {
    this.#most = limits.mostPieces ?? MOST_PIECES;
    this.#cancelled = limits.cancelled ?? (() => false);
  }

  /** Accounts for one more piece, or for one more step that costs about as many as `pieces`. */
  spend(pieces = 1): void {
    this.#pieces += pieces;
    if (this.#pieces > this.#most) this.refuse();
    this.#untilCheck -= pieces;
    if (this.#untilCheck > 0) return;
    this.#untilCheck = PIECES_BETWEEN_CHECKS;
    if (this.#cancelled()) throw new LimitReached("the work was stopped before it was done");
  }

  /** Ends the work at once when this many pieces more would be too many. */
  foresee(pieces: number): void {
    if (this.#pieces + pieces > this.#most) this.refuse();
  }

  private refuse(): never {
    throw new LimitReached(`the patients would have to be cut into more than ${this.#most} pieces`);
  }
}

/** Answers a question within limits. */
export function decide<Answer>(limits: Limits, question: (work: Work) => Answer): Answer | NotDecided {
  try {
    return question(new Work(limits));
  } catch (error) {
    if (error instanceof LimitReached) return { kind: "not-decided", limit: error.message };
    throw error;
  }
}
