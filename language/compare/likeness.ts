import {
  type Dose,
  type Handler,
  type Protocol,
  type Step,
  sectionTexts,
  stepsWithin,
} from "../model/index.ts";
import { handlerWords, stepWithoutTimes } from "../runs/index.ts";
import { meaningText } from "./same.ts";

/** How alike two protocols are, as `likenessOf` counts it. */
export interface Likeness {
  /** How many statements both make, and how many there are in all. */
  readonly common: number;
  readonly all: number;
  /** The share of all that is said in either that both say: from 0 to 1. */
  readonly share: number;
}

/**
 * From this share on two protocols are taken for one. Those of one hospital that are for different limbs and drugs come to four fifths
 * at most in the examples; one that is renamed and changed in ten places is over nine tenths.
 */
const SAME_PROTOCOL = 0.85;

export interface AlikePair<T> {
  readonly before: T;
  readonly now: T;
  readonly likeness: Likeness;
}

/** Something with what it says; `key` puts those that are equally alike in an order. */
interface Saying {
  readonly key: string;
  readonly says: () => readonly string[];
}

/** Of what is gone and what is new, the pairs that say nearly the same: the likest first, each in one pair at most. */
export function alikePairs<T extends Saying>(before: readonly T[], now: readonly T[]): AlikePair<T>[] {
  if (before.length === 0 || now.length === 0) return [];
  const [old, recent] = [before, now].map((all) => all.map((one) => ({ one, statements: one.says() })));
  const alike = (old ?? []).flatMap((a) =>
    (recent ?? []).flatMap((b): AlikePair<T>[] => {
      const [shorter, longer] = [a.statements.length, b.statements.length].sort((x, y) => x - y) as [
        number,
        number,
      ];
      if (2 * shorter < SAME_PROTOCOL * (shorter + longer)) return [];
      const likeness = likenessOf(a.statements, b.statements);
      return likeness.share < SAME_PROTOCOL ? [] : [{ before: a.one, now: b.one, likeness }];
    }),
  );
  const sorted = alike.sort(
    (a, b) => b.likeness.share - a.likeness.share || inOrder(a.before, b.before) || inOrder(a.now, b.now),
  );
  const taken = new Set<T>();
  return sorted.filter((pair) => {
    if (taken.has(pair.before) || taken.has(pair.now)) return false;
    taken.add(pair.before).add(pair.now);
    return true;
  });
}

function inOrder(a: Saying, b: Saying): number {
  if (a.key === b.key) return 0;
  return a.key < b.key ? -1 : 1;
}

/**
 * What a protocol says, one statement each, whatever the protocol is called: its title, whom it covers, its cuffs, each part of its doses
 * and timers, each thing that has to be in place, each step and each answer to an event. It is all that likeness looks at.
 */
export function statementsOf(protocol: Protocol): readonly string[] {
  const { title, patients, cuffs, doses, timers, preparation, requirements } = protocol;
  const { steps = [], throughout, emergencies } = protocol;
  const all = [...steps, ...throughout.flatMap(stepsOf), ...emergencies.flatMap(stepsOf)];
  return [
    `title ${title ?? ""}`,
    ...sectionTexts(protocol).map(({ word, value }) => `${word} ${value}`),
    ...partsOf("covers", patients?.bounds ?? {}),
    ...(patients?.conditions ?? []).map((one) => `condition ${meaningText(one)}`),
    ...(cuffs ? partsOf("cuffs", cuffs) : []),
    ...doses.flatMap(statementsOfDose),
    ...timers.flatMap(({ name, ...others }) => partsOf(`timer ${name}`, others)),
    ...(preparation?.items ?? []).map((one) =>
      one.kind === "at-hand"
        ? `prepare ${one.agents.map(({ name }) => name)} ${(one.amounts ?? []).map(({ amount }) => meaningText(amount))} ${one.texts}`
        : `prepare ${meaningText(one)}`,
    ),
    ...[...stepsWithin(all)].flatMap(statementsOfStep),
    ...throughout.map((one) => `when ${handlerWords(one)}`),
    ...emergencies.map(({ name, title: words }) => `emergency ${name} ${words}`),
    ...requirements.map((one) => `require ${one.title}`),
  ];
}

function stepsOf({ steps }: { readonly steps: readonly Step[] }): readonly Step[] {
  return steps;
}

function statementsOfDose({ name, agent, adjuvants, ...others }: Dose): string[] {
  const mixed = adjuvants.map((one) => `dose ${name} with ${one.agent?.name}`);
  return [`dose ${name} of ${agent?.name}`, ...mixed, ...partsOf(`dose ${name}`, others)];
}

/** What is done, how long it takes, and what stands beside it. */
function statementsOfStep(step: Step): string[] {
  const time = meaningText([step.takes, "duration" in step ? step.duration : undefined]);
  const handlers: readonly Handler[] = step.kind === "stage" ? step.handlers : [];
  return [
    `step ${stepWithoutTimes(step)} ${time}`,
    ...step.notes.map((note) => `note ${note}`),
    ...handlers.map((one) => `when ${handlerWords(one)}`),
  ];
}

function partsOf(of: string, part: object): string[] {
  return Object.entries(part).flatMap(([name, value]) =>
    value === undefined || NO_STATEMENTS.has(name) ? [] : [`${of} ${name} ${meaningText(value)}`],
  );
}

/** Places, and what follows from another part. */
const NO_STATEMENTS: ReadonlySet<string> = new Set([
  "origin",
  "nameOrigin",
  "agentOrigin",
  "mass",
  "volume",
  "emergency",
]);

/** Counts the statements that both make, each as often as it stands there, twice over against all that either makes. */
function likenessOf(before: readonly string[], now: readonly string[]): Likeness {
  const left = new Map<string, number>();
  for (const one of before) left.set(one, (left.get(one) ?? 0) + 1);
  let common = 0;
  for (const one of now) {
    const count = left.get(one) ?? 0;
    if (count === 0) continue;
    left.set(one, count - 1);
    common += 1;
  }
  const all = before.length + now.length;
  return { common, all: all - common, share: all === 0 ? 0 : (2 * common) / all };
}
