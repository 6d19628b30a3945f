import type { Protocol } from "../model/index.ts";
import { type GivenDoses, type Runs, UnreplayableRun } from "../runs/index.ts";
import type { DoseCounts } from "./dose-counts.ts";
import { mostGiven } from "./most-given.ts";
import { NOT_REPLAYED, runEvidence, undecidedRuns } from "./over-runs.ts";
import { type Detected, found, type Judgement, together, undecided } from "./rule.ts";

/** What is asked of the doses of a run. */
export interface CountsQuestion {
  readonly rule: string;
  /** Whether a run that gives so much is too much; undefined where it is not known. */
  readonly isOver: (counts: DoseCounts) => boolean | undefined;
  /** What is found where a run gives too much. */
  readonly words: (given: GivenDoses, run: ReturnType<GivenDoses["run"]>) => Omit<Detected, "run">;
  /** Nothing or why not, for what no run exceeds; `limit` says why runs are not known. */
  readonly atMost: (counts: DoseCounts, limit: string) => Judgement;
}

/**
 * Judges what runs give in all: the run with the fewest decisions that gives too much is found. Where not every run is known, what
 * no run could exceed is asked instead; if even that is not too much, the rule holds.
 */
export function judgedOverCounts(protocol: Protocol, runs: Runs, question: CountsQuestion): Judgement {
  if (runs.kind === "explored") {
    const over = firstOver(runs.given, question);
    if (over) return shown(over, question);
  }
  const [open] = undecidedRuns(runs, question.rule);
  if (!open && runs.kind === "explored") {
    const greatest = runs.given.filter(({ isGreatest }) => isGreatest);
    return together(greatest.map(({ counts }) => question.atMost(counts, "")));
  }
  const most = mostGiven(protocol);
  if ("limit" in most) return undecided(most.limit);
  return together(most.map((counts) => question.atMost(counts, open?.limit ?? "")));
}

function firstOver(given: readonly GivenDoses[], { isOver }: CountsQuestion): GivenDoses | undefined {
  const isAnyOver = given.some(({ isGreatest, counts }) => isGreatest && isOver(counts));
  return isAnyOver ? given.find(({ counts }) => isOver(counts)) : undefined;
}

function shown(given: GivenDoses, { words }: CountsQuestion): Judgement {
  try {
    const run = given.run();
    return found({ ...words(given, run), run: runEvidence(run) });
  } catch (error) {
    if (error instanceof UnreplayableRun) return undecided(NOT_REPLAYED);
    throw error;
  }
}
