import { changeInner, changeSteps, type Protocol, type Step } from "../model/index.ts";
import { stepWithoutTimes } from "../runs/index.ts";
import { isNearly } from "./pairing.ts";

/** Steps of two lists that belong together, in order; `undefined` where one side has none. */
export type StepPair = readonly [before: Step | undefined, now: Step | undefined];

/** Routines written out where they are called: what is done counts, not where it is written. */
export function writtenOut(steps: readonly Step[]): Step[] {
  return steps.flatMap((step) => (step.kind === "do" ? writtenOut(step.steps) : [step]));
}

/** Pairs two lists so that as much as possible stays, in its order. */
export function pairedSteps(before: readonly Step[], now: readonly Step[]): StepPair[] {
  const likeness = likenessIn(before, now);
  const best = bestScores(before, now, likeness);
  const at = (a: number, b: number) => best[a]?.[b] ?? 0;
  const pairs: StepPair[] = [];
  let [a, b] = [0, 0];
  while (a < before.length || b < now.length) {
    const [old, recent] = [before[a], now[b]];
    const score = old && recent ? likeness(old, recent) : 0;
    if (score > 0 && at(a, b) === at(a + 1, b + 1) + score) {
      pairs.push([old, recent]);
      a += 1;
      b += 1;
    } else if (old && at(a, b) === at(a + 1, b)) {
      pairs.push([old, undefined]);
      a += 1;
    } else {
      pairs.push([undefined, recent]);
      b += 1;
    }
  }
  return pairs;
}

/** The most that can be had of the steps from a and from b on. */
function bestScores(before: readonly Step[], now: readonly Step[], likeness: Likeness): number[][] {
  const best = Array.from({ length: before.length + 1 }, () => new Array<number>(now.length + 1).fill(0));
  const at = (a: number, b: number) => best[a]?.[b] ?? 0;
  for (let a = before.length - 1; a >= 0; a -= 1) {
    for (let b = now.length - 1; b >= 0; b -= 1) {
      const [old, recent] = [before[a], now[b]];
      const score = old && recent ? likeness(old, recent) : 0;
      const paired = score > 0 ? at(a + 1, b + 1) + score : 0;
      (best[a] as number[])[b] = Math.max(paired, at(a + 1, b), at(a, b + 1));
    }
  }
  return best;
}

/** How alike two steps are; 0 where they cannot be the same step. */
type Likeness = (before: Step, now: Step) => number;

/** A text that stands as often in the other list was moved, not put into other words. */
function likenessIn(before: readonly Step[], now: readonly Step[]): Likeness {
  const [old, recent] = [countedWords(before), countedWords(now)];
  return (a, b) => {
    if (a.kind !== b.kind) return 0;
    if (stepWithoutTimes(a) === stepWithoutTimes(b)) return 8;
    if (a.kind === "repeat") return 2;
    const [was, is] = [wordsOf(a), wordsOf(b)];
    if (was === undefined || is === undefined) return 0;
    const isKept = old(was) <= recent(was) || recent(is) <= old(is);
    if (was !== is && isKept) return 0;
    return isNearly(was, is) ? 4 : 1;
  };
}

function countedWords(steps: readonly Step[]): (words: string) => number {
  const counts = new Map<string, number>();
  for (const step of steps) {
    const words = wordsOf(step);
    if (words !== undefined) counts.set(words, (counts.get(words) ?? 0) + 1);
  }
  return (words) => counts.get(words) ?? 0;
}

function wordsOf(step: Step): string | undefined {
  if (step.kind === "task") return step.text || step.topic;
  return step.kind === "ask" ? step.question : undefined;
}

/** Gives another step for a step, without what is inside it; `around` are the stages around it, the innermost last. */
type ChangeStep = (step: Step, around: readonly string[]) => Step;

/**
 * A protocol as its steps are compared: each place where a routine is done has steps of its own, so that what is said of one place is
 * not said of all; and `end stage` names no stage where it ends the one it stands in.
 */
export function comparableSteps(protocol: Protocol): Protocol {
  return withSteps(protocol, (step, around) => {
    if (step.kind !== "end-stage" || step.stage === undefined || step.stage !== around.at(-1))
      return { ...step };
    const { stage: _own, ...bare } = step;
    return bare;
  });
}

/** With some of its tasks and questions put into other words, so that its runs can be held against those of the text that has these. */
export function withTexts(protocol: Protocol, texts: ReadonlyMap<Step, string>): Protocol {
  if (texts.size === 0) return protocol;
  return withSteps(protocol, (step) => {
    const words = texts.get(step);
    if (words === undefined) return step;
    if (step.kind === "ask") return { ...step, question: words };
    return step.kind === "task" ? { ...step, text: words } : step;
  });
}

function withSteps(protocol: Protocol, change: ChangeStep): Protocol {
  const within =
    (around: readonly string[]) =>
    (list: readonly Step[]): Step[] =>
      list.map((one) => {
        const step = change(one, around);
        return changeInner(step, within(step.kind === "stage" ? [...around, step.name] : around));
      });
  return changeSteps(protocol, within([]));
}
