import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol, type Step } from "../model/index.ts";
import { ACTION_TIME, boundName, CUFF_ACTION_TIME, seconds, type Timing } from "./automaton/durations.ts";
import { stepWords } from "./automaton/step-words.ts";
import type { ProvenWithout } from "./proven-rules.ts";

/** A bound on a time that a verdict leans on, and that the team cannot enforce. */
export interface Assumption {
  /** What takes so long: a step in the words of the protocol, or one of the action times. */
  readonly what: string;
  readonly bound: "longest" | "shortest";
  readonly seconds: number;
  readonly origin?: Origin;
}

/**
 * For each rule the bounds without which it would no longer hold: dropped one after another, keeping each drop that still proves the rule,
 * so that none of what is left can be spared. Rules that hold without any bound have none.
 */
export function assumptionsOf(
  protocol: Protocol,
  timing: Timing,
  rules: readonly string[],
  provenWithout: ProvenWithout,
): ReadonlyMap<string, readonly Assumption[]> {
  const candidates = candidatesOf(protocol, timing);
  const known = new KnownDrops(rules, provenWithout);
  const all = candidates.map(({ name }) => name);
  const isLeaning = (rule: string) => !known.holds(rule, all);
  const needed = (rule: string) => neededOf(candidates, (dropped) => known.holds(rule, dropped));
  return new Map(rules.map((rule) => [rule, isLeaning(rule) ? needed(rule) : []]));
}

interface Candidate extends Assumption {
  /** Under which it is dropped; see `Timing.dropped`. */
  readonly name: string;
}

/**
 * Which rules hold without which bounds, as far as that was asked. Whoever relies on fewer bounds allows more runs: a rule
 * that holds without some holds without fewer, and one that does not hold without some does not without more.
 */
class KnownDrops {
  readonly #ask: ProvenWithout;
  readonly #asked: { readonly dropped: ReadonlySet<string>; readonly proven: ReadonlySet<string> }[];

  /** The rules hold as long as every bound is relied on. */
  constructor(rules: readonly string[], ask: ProvenWithout) {
    this.#ask = ask;
    this.#asked = [{ dropped: new Set(), proven: new Set(rules) }];
  }

  holds(rule: string, names: readonly string[]): boolean {
    const wanted = new Set(names);
    for (const { dropped, proven } of this.#asked) {
      const isHeld = proven.has(rule);
      if (isHeld ? isWithin(wanted, dropped) : isWithin(dropped, wanted)) return isHeld;
    }
    const proven = this.#ask(wanted);
    this.#asked.push({ dropped: wanted, proven });
    return proven.has(rule);
  }
}

function isWithin(some: ReadonlySet<string>, all: ReadonlySet<string>): boolean {
  return [...some].every((name) => all.has(name));
}

/** Of a rule that does not hold without any bound. All that is left is tried at once after each bound that is needed. */
function neededOf(
  candidates: readonly Candidate[],
  holds: (dropped: readonly string[]) => boolean,
): Assumption[] {
  const needed: Candidate[] = [];
  const spared: string[] = [];
  for (const [at, candidate] of candidates.entries()) {
    if (holds([...spared, candidate.name])) {
      spared.push(candidate.name);
      continue;
    }
    needed.push(candidate);
    if (holds([...spared, ...candidates.slice(at + 1).map(({ name }) => name)])) break;
  }
  return needed.map(({ name: _, ...assumption }) => assumption);
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
