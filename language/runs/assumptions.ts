import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol, type Step } from "../model/index.ts";
import { ACTION_TIME, boundName, CUFF_ACTION_TIME, seconds, type Timing } from "./automaton/durations.ts";
import { stepWords } from "./automaton/step-words.ts";
import type { Runs } from "./runs.ts";

/** A bound on a time that a verdict leans on, and that the team cannot enforce. */
export interface Assumption {
  /** What takes so long: a step in the words of the protocol, or one of the action times. */
  readonly what: string;
  readonly bound: "longest" | "shortest";
  readonly seconds: number;
  readonly origin?: Origin;
}

/** Gives the runs in which some bounds are not relied on, watched for some rules. */
export type RunsWithout = (dropped: ReadonlySet<string>, rules: readonly string[]) => Runs;

/**
 * For each rule the bounds without which it would no longer hold: dropped one after another, keeping each drop that still proves the rule,
 * so that none of what is left can be spared. Rules that hold without any bound have none.
 */
export function assumptionsOf(
  protocol: Protocol,
  timing: Timing,
  rules: readonly string[],
  runsWithout: RunsWithout,
): ReadonlyMap<string, readonly Assumption[]> {
  const candidates = candidatesOf(protocol, timing);
  const boundless = runsWithout(new Set(candidates.map(({ name }) => name)), rules);
  // Few rules lean on a bound; the runs that are gone through again and again are watched for those alone.
  const leaning = rules.filter((rule) => !isProven(boundless, rule));
  const known = new Map<string, Runs>();
  const runs = (dropped: readonly string[]): Runs => {
    const key = dropped.join("\n");
    const before = known.get(key) ?? runsWithout(new Set(dropped), leaning);
    known.set(key, before);
    return before;
  };
  const needed = (rule: string) => neededOf(candidates, (dropped) => isProven(runs(dropped), rule));
  return new Map(rules.map((rule) => [rule, leaning.includes(rule) ? needed(rule) : []]));
}

interface Candidate extends Assumption {
  /** Under which it is dropped; see `Timing.dropped`. */
  readonly name: string;
}

/** Of a rule that does not hold without any bound. */
function neededOf(
  candidates: readonly Candidate[],
  holds: (dropped: readonly string[]) => boolean,
): Assumption[] {
  const spared: string[] = [];
  for (const { name } of candidates) {
    if (holds([...spared, name])) spared.push(name);
  }
  return candidates
    .filter(({ name }) => !spared.includes(name))
    .map(({ name: _, ...assumption }) => assumption);
}

function isProven(runs: Runs, rule: string): boolean {
  return (
    runs.kind === "explored" && runs.limit === undefined && runs.endedBy.length === 0 && !runs.breaks(rule)
  );
}

/** In an order that does not depend on where things are declared in the text, but for steps: those keep theirs. */
function candidatesOf(protocol: Protocol, timing: Timing): Candidate[] {
  const written = [...allSteps(protocol)].flatMap(boundsOf);
  return [
    { name: ACTION_TIME, what: ACTION_TIME, bound: "longest", seconds: timing.actionTime },
    { name: CUFF_ACTION_TIME, what: CUFF_ACTION_TIME, bound: "longest", seconds: timing.cuffActionTime },
    ...new Map(written.map((candidate) => [candidate.name, candidate])).values(),
  ];
}

function boundsOf(step: Step): Candidate[] {
  if (!step.takes) return [];
  const { shortest, longest } = step.takes;
  const common = { what: stepWords(step), origin: step.origin };
  const candidates: Candidate[] = [];
  if (longest) {
    const name = boundName("longest", step);
    candidates.push({ ...common, name, bound: "longest", seconds: seconds(longest) });
  }
  if (seconds(shortest) > 0) {
    const name = boundName("shortest", step);
    candidates.push({ ...common, name, bound: "shortest", seconds: seconds(shortest) });
  }
  return candidates;
}
