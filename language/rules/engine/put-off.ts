import type { Finding, Verdict } from "@limbwright/shared/finding";
import type { Runs } from "../../runs/index.ts";
import { type ComparedWithEarlier, type Judgement, undecided } from "./definition.ts";
import type { RunsFor } from "./runs-for.ts";

/** What the rules judged before have found and decided. */
export interface Before {
  readonly findings: readonly Finding[];
  readonly verdicts: readonly Verdict[];
}

/**
 * Notices, while a protocol is judged without its runs, which rules ask for them or for an earlier version, and which ask for what
 * was found before when a rule before was put off. What these rules say without the runs is not kept.
 */
export class PutOff {
  readonly rules: string[] = [];
  /** The runs; while they are put off, a stand-in that says so. */
  readonly runs: Pick<RunsFor, "runs" | "leaks">;
  readonly #isPuttingOff: boolean;
  #asked = false;

  constructor(explored: RunsFor, isPuttingOff: boolean) {
    this.#isPuttingOff = isPuttingOff;
    const putOff = (): Runs => {
      this.#asked = true;
      return { kind: "not-explored", limit: LIMIT };
    };
    this.runs = isPuttingOff
      ? {
          get runs() {
            return putOff();
          },
          get leaks() {
            return putOff();
          },
        }
      : explored;
  }

  /** The same, noticing who looks at it. */
  watching(before: Before): Before {
    const look = () => {
      if (this.rules.length > 0) this.#asked = true;
    };
    return {
      get findings() {
        look();
        return before.findings;
      },
      get verdicts() {
        look();
        return before.verdicts;
      },
    };
  }

  /** How the protocol compares with its earlier version; while that is put off, a stand-in that says so. */
  compared(compare: () => ComparedWithEarlier): ComparedWithEarlier {
    if (!this.#isPuttingOff) return compare();
    this.#asked = true;
    return { kind: "not-compared", limit: LIMIT };
  }

  /** What a rule says, or that it is put off. */
  judged(rule: string, judge: () => Judgement): Judgement {
    this.#asked = false;
    const judgement = judge();
    if (!this.#asked) return judgement;
    this.rules.push(rule);
    return undecided(LIMIT);
  }
}

const LIMIT = "the runs are not gone through yet";
