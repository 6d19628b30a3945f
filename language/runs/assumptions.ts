import type { Origin } from "@limbwright/shared/finding";
import { secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Protocol, type Step } from "../model/index.ts";
import { ACTION_TIME, boundName, CUFF_ACTION_TIME, seconds, type Timing } from "./automaton/durations.ts";
import { stepWords } from "./automaton/step-meaning.ts";
import type { Dropped, ProvenWithout } from "./proven-rules.ts";

/** A bound on a time that a verdict leans on, and that the team cannot enforce. */
export interface Assumption {
  /** What takes so long: a step in the words of the protocol, or one of the action times. */
  readonly what: string;
  readonly bound: "longest" | "shortest";
  readonly seconds: number;
  readonly origin?: Origin;
}

/**
 * For each rule the bounds without which it would no longer hold: dropped one after another, keeping each drop that still proves the rule.
 * Rules that hold without any bound have none.
 */
export function assumptionsOf(
  protocol: Protocol,
  timing: Timing,
  rules: readonly string[],
  provenWithout: ProvenWithout,
): ReadonlyMap<string, readonly Assumption[]> {
  const candidates = candidatesOf(protocol, timing);
  const known = new KnownDrops(rules, provenWithout);
  const isLeaning = (rule: string) => !known.holds(rule, candidates);
  const findNeededBy = (rule: string) => findNeeded(candidates, (dropped) => known.holds(rule, dropped));
  return new Map(rules.map((rule) => [rule, isLeaning(rule) ? findNeededBy(rule) : []]));
}

/** What a proof leans on that only the person who works can keep: that a task never takes more than its longest time. */
export interface Promised {
  readonly text: string;
  readonly seconds: number;
  readonly origin: Origin;
}

/**
 * Whose longest times some of the rules lean on: of tasks about nothing that rules look for, as those of whoever operates, that take
 * longer than an action. Asked at once first, since most protocols lean on none.
 */
export function promisesOf(
  protocol: Protocol,
  timing: Timing,
  rules: readonly string[],
  provenWithout: ProvenWithout,
): Promised[] {
  const promised = [
    ...new Map([...allSteps(protocol)].flatMap((step) => promisedBy(step, timing))).entries(),
  ];
  const isLeantOn = (names: readonly string[]) => {
    const proven = provenWithout({ steps: new Set(names), stages: new Set() });
    return rules.some((rule) => !proven.has(rule));
  };
  if (promised.length === 0 || rules.length === 0 || !isLeantOn(promised.map(([name]) => name))) return [];
  const leantOn = promised.filter(([name]) => isLeantOn([name]));
  // Where each alone may be longer, but not all of them, all are leant on.
  return (leantOn.length > 0 ? leantOn : promised).map(([, one]) => one);
}

function promisedBy(step: Step, { actionTime }: Timing): [string, Promised][] {
  if (step.kind !== "task" || step.topic !== undefined || !step.takes?.longest) return [];
  const longest = seconds(step.takes.longest);
  const { text, origin } = step;
  return longest > actionTime ? [[boundName("longest", step), { text, seconds: longest, origin }]] : [];
}

/** "“Reduce and splint” never takes more than 40 min", with straight quotes. */
export function promiseText({ text, seconds }: Promised): string {
  return `"${text}" never takes more than ${secondsText(seconds)}`;
}

interface Candidate extends Assumption {
  /** Under which it is dropped; see `Timing.dropped`. */
  readonly name: string;
  /** Whether it is the time of a stage. */
  readonly isOfStage: boolean;
}

/**
 * Which rules hold without which bounds, as far as that was asked. Whoever relies on fewer bounds of steps allows more runs: a
 * rule that holds without some holds without fewer, and one that does not hold without some does not without more. That is
 * not so of stages: one that may last as long as it likes cuts nothing short any more, so each choice of them is asked by itself.
 */
class KnownDrops {
  readonly #ask: ProvenWithout;
  readonly #asked: Asked[];

  /** The rules hold as long as every bound is relied on. */
  constructor(rules: readonly string[], ask: ProvenWithout) {
    this.#ask = ask;
    this.#asked = [{ ...separateStages([]), proven: new Set(rules) }];
  }

  holds(rule: string, dropped: readonly Candidate[]): boolean {
    const wanted = separateStages(dropped);
    for (const { steps, stages, proven } of this.#asked) {
      const isHeld = proven.has(rule);
      const answers = isHeld ? isWithin(wanted.steps, steps) : isWithin(steps, wanted.steps);
      if (answers && isWithin(stages, wanted.stages) && isWithin(wanted.stages, stages)) return isHeld;
    }
    const proven = this.#ask(wanted);
    this.#asked.push({ ...wanted, proven });
    return proven.has(rule);
  }
}

interface Asked extends Dropped {
  readonly proven: ReadonlySet<string>;
}

function separateStages(candidates: readonly Candidate[]): Dropped {
  const names = (ofStages: boolean) =>
    new Set(candidates.flatMap(({ name, isOfStage }) => (isOfStage === ofStages ? [name] : [])));
  return { steps: names(false), stages: names(true) };
}

function isWithin(some: ReadonlySet<string>, all: ReadonlySet<string>): boolean {
  return [...some].every((name) => all.has(name));
}

/**
 * Of a rule that does not hold without any bound. All that is left is tried at once after each bound that is needed, where no
 * stage's is left.
 */
function findNeeded(
  candidates: readonly Candidate[],
  holds: (dropped: readonly Candidate[]) => boolean,
): Assumption[] {
  const needed: Candidate[] = [];
  const spared: Candidate[] = [];
  for (const [at, candidate] of candidates.entries()) {
    if (holds([...spared, candidate])) {
      spared.push(candidate);
      continue;
    }
    needed.push(candidate);
    const left = candidates.slice(at + 1);
    if (left.every(({ isOfStage }) => !isOfStage) && holds([...spared, ...left])) break;
  }
  return needed.map(({ name: _, isOfStage: __, ...assumption }) => assumption);
}

/** In an order that does not depend on where things are declared in the text, but for steps: those keep theirs. */
function candidatesOf(protocol: Protocol, timing: Timing): Candidate[] {
  const written = [...allSteps(protocol)].flatMap(boundsOf);
  const ofAction = { bound: "longest", isOfStage: false } as const;
  return [
    { ...ofAction, name: ACTION_TIME, what: ACTION_TIME, seconds: timing.actionTime },
    { ...ofAction, name: CUFF_ACTION_TIME, what: CUFF_ACTION_TIME, seconds: timing.cuffActionTime },
    ...new Map(written.map((candidate) => [candidate.name, candidate])).values(),
  ];
}

function boundsOf(step: Step): Candidate[] {
  if (!step.takes) return [];
  const { shortest, longest } = step.takes;
  const common = { what: stepWords(step), origin: step.origin, isOfStage: step.kind === "stage" };
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

/** "an action of the team never takes more than 45 s". */
export function assumptionText({ what, bound, seconds }: Assumption): string {
  const subject = NAMES[what] ?? `\`${what}\``;
  return `${subject} never takes ${bound === "longest" ? "more" : "less"} than ${secondsText(seconds)}`;
}

const NAMES: Readonly<Record<string, string>> = {
  "action-time": "an action of the team",
  "cuff-action-time": "inflating, deflating or confirming a cuff",
};
