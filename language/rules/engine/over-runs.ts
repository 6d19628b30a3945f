import { factWords, type RunEvidence, type RunLine } from "@limbwright/shared/finding";
import { clockText } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import type { Step } from "../../model/index.ts";
import {
  ALWAYS,
  all,
  type BrokenCheck,
  LEAKED,
  not,
  type Run,
  type RunStep,
  type Runs,
  type RunsWithLeak,
  UnreplayableRun,
  type Watched,
  type WatchedCheck,
  wholeEnvelope,
} from "../../runs/index.ts";
import type { AnyRule, RuleContext } from "./definition.ts";
import { type Detected, type Judgement, type Undecided, undecided } from "./judgement.ts";

/**
 * A rule's judgement over all runs: what some run breaks, in the rule's own words. Where none does, the rule
 * holds only when every run was followed to its end.
 */
export function judgeOverRuns(
  { rule, runs }: Pick<RuleContext<"runs">, "rule"> & { readonly runs: RunsWithLeak },
  words: (broken: BrokenCheck) => Omit<Detected, "run">,
): Judgement {
  if (runs.kind === "not-explored") return { found: [], undecided: whyUndecided(runs, rule.id) };
  return ifReplayed(() => {
    const found = runs
      .brokenBy(rule.id)
      .map((broken) => ({ ...words(broken), run: runEvidence(broken.run) }));
    return { found, undecided: found.length > 0 ? [] : whyUndecided(runs, rule.id) };
  });
}

/** What a rule watches for as each step of a kind starts. */
export function atStartOf<K extends Step["kind"]>(
  kind: K,
  checksOf: (watched: Watched, step: Extract<Step, { readonly kind: K }>) => readonly WatchedCheck[],
): NonNullable<AnyRule["watch"]> {
  return (watched) => (instant) =>
    instant.kind === "start" && instant.step.kind === kind
      ? checksOf(watched, instant.step as Extract<Step, { readonly kind: K }>)
      : [];
}

/** A judgement that shows runs; *not decided* where one of them cannot be shown. */
export function ifReplayed(judge: () => Judgement): Judgement {
  try {
    return judge();
  } catch (error) {
    if (error instanceof UnreplayableRun) return undecided(error.limit);
    throw error;
  }
}

/** Why nothing can be said of every run; empty where it can. */
export function whyUndecided(runs: RunsWithLeak, rule: string): Undecided[] {
  if (runs.kind === "not-explored") {
    return [{ limit: runs.limit, ...(runs.origin && { origin: runs.origin }) }];
  }
  if (runs.limit !== undefined) return [{ limit: runs.limit }];
  const others = runs.endedBy.filter((other) => other !== rule);
  if (others.length === 0) return [];
  const names = listText(others.map((other) => `\`${other}\``));
  return [{ limit: `nobody knows what comes after what ${names} found; mend that first` }];
}

/** The runs with the earliest and the latest release; a latest that is missing has no limit, or cannot be shown. */
export interface Releases {
  readonly earliest?: RunEvidence;
  readonly latest?: RunEvidence;
}

/** Nothing where not every run was followed to its end: there may be an earlier or a later one. */
export function releasesOf(runs: Runs): Releases {
  if (runs.kind !== "explored" || !wholeEnvelope(runs)) return {};
  const { earliest, latest } = runs.releases;
  return {
    ...(earliest && { earliest: runEvidence(earliest) }),
    ...(latest && { latest: runEvidence(latest) }),
  };
}

/** A run as it is shown. */
export function runEvidence({ steps }: Pick<Run, "steps">): RunEvidence {
  const told = steps.filter(isWorthALine);
  return { lines: told.map((step, at) => lineOf(step, at === told.length - 1)) };
}

/** Going on after a handler, and passing from one list of steps into another, says nothing by itself. */
function isWorthALine({ kind, changes }: RunStep): boolean {
  return changes.length > 0 || (kind !== "pass" && kind !== "return");
}

function lineOf(step: RunStep, isLast: boolean): RunLine {
  const { at, kind, says, step: data, changes, standing, isKey, isInjected, origin } = step;
  return {
    time: clockText(at),
    seconds: at,
    kind,
    what: `${says}${mannerOf(kind)}`,
    ...(data && { step: data }),
    after: changes.join(", "),
    standing: standing.map(factWords).join(", "),
    facts: standing,
    isKey: isKey || isLast,
    isInjected,
    ...(origin && { origin }),
  };
}

function mannerOf(kind: RunStep["kind"]): string {
  if (kind === "end") return " ends";
  return kind === "stays" ? " goes on" : "";
}

/**
 * What nobody goes on after: a need that is not met, a limb without a cuff. The run is followed no further,
 * so that one slip is reported once. After a leak it is followed all the same: what is lacking then comes of
 * the leak, and the answer to it still has to be judged.
 */
export function endingUnlessLeaked({ when = ALWAYS, ...check }: WatchedCheck): WatchedCheck[] {
  return [
    { ...check, when: all(when, not(LEAKED)), endsRun: true },
    { ...check, when: all(when, LEAKED) },
  ];
}
