import {
  allHandlers,
  type Emergency,
  isEntered,
  type Protocol,
  stepsReached,
  stepsWithin,
} from "../../model/index.ts";
import { type GivenDoses, isOfLeaks, type RunStep, type RunsWithLeak } from "../../runs/index.ts";
import type { RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, type Judgement, undecided } from "../engine/judgement.ts";
import { ifReplayed, runEvidence, whyUndecided } from "../engine/over-runs.ts";
import { type DoseCounts, mostGiven } from "./most-given.ts";

/** What is asked of the doses of a run. */
export interface CountsQuestion {
  /** Whether a run that gives so much is too much; undefined where it is not known. */
  readonly isOver: (counts: DoseCounts) => boolean | undefined;
  /** What is found where a run gives too much. */
  readonly words: (counts: DoseCounts, steps: readonly Giving[]) => Omit<Detected, "run">;
  /** Nothing or why not, for what no run exceeds; `limit` says why runs are not known. */
  readonly atMost: (counts: DoseCounts, limit: string) => Judgement;
}

/** A step that begins to give a dose, as far as the words need it. */
export type Giving = Pick<RunStep, "dose" | "origin">;

/**
 * Judges what runs give in all: the run with the fewest decisions that gives too much is found. Where not every run is known, what
 * no run could exceed is asked instead; if even that is not too much, the rule holds.
 */
export function judgeOverCounts(
  context: Pick<RuleContext<"runs">, "rule" | "protocol" | "runs" | "leaks">,
  question: CountsQuestion,
): Judgement {
  const { protocol } = context;
  const runs = givesAtLeaks(protocol) ? context.leaks : context.runs;
  const alone = protocol.emergencies.filter((emergency) => !isEntered(emergency, protocol));
  return combine([
    judgeRuns(context, runs, question),
    ...alone.map((emergency) => judgeAlone(emergency, protocol, question)),
  ]);
}

/** Whether what is done at a leak gives anything, or leads to where something may be given. */
function givesAtLeaks(protocol: Protocol): boolean {
  const steps = allHandlers(protocol)
    .filter(isOfLeaks)
    .flatMap((handler) => [...stepsWithin(handler.steps)]);
  return steps.some(({ kind }) => kind === "give" || kind === "inject" || kind === "go-to-emergency");
}

function judgeRuns(
  { rule, protocol }: Pick<RuleContext, "rule" | "protocol">,
  runs: RunsWithLeak,
  question: CountsQuestion,
): Judgement {
  if (runs.kind === "explored") {
    const over = firstOver(runs.given, question);
    if (over) return showRun(over, question);
  }
  const [open] = whyUndecided(runs, rule.id);
  if (!open && runs.kind === "explored") {
    const greatest = runs.given.filter(({ isGreatest }) => isGreatest);
    return combine(greatest.map(({ counts }) => question.atMost(counts, "")));
  }
  const most = mostGiven(protocol);
  if ("limit" in most) return undecided(most.limit);
  return combine(most.map((counts) => question.atMost(counts, open?.limit ?? "")));
}

function firstOver(given: readonly GivenDoses[], { isOver }: CountsQuestion): GivenDoses | undefined {
  const isAnyOver = given.some(({ isGreatest, counts }) => isGreatest && isOver(counts));
  return isAnyOver ? given.find(({ counts }) => isOver(counts)) : undefined;
}

function showRun(given: GivenDoses, { words }: CountsQuestion): Judgement {
  return ifReplayed(() => {
    const run = given.run();
    return found({ ...words(given.counts, run.steps), run: runEvidence(run) });
  });
}

/** An emergency that no step leads to is judged by itself: somebody may still follow it. */
function judgeAlone({ steps }: Emergency, protocol: Protocol, question: CountsQuestion): Judgement {
  const most = mostGiven({ ...protocol, steps, throughout: [], emergencies: [] });
  if ("limit" in most) return undecided(most.limit);
  const over = most.find((counts) => question.isOver(counts));
  if (!over) return combine(most.map((counts) => question.atMost(counts, "")));
  const givings = [...stepsReached(steps)].flatMap((step) =>
    step.kind === "give" || step.kind === "inject" ? [{ dose: step.dose, origin: step.origin }] : [],
  );
  return found(question.words(over, givings));
}
