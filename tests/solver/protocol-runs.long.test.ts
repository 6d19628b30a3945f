import { Site } from "@limbwright/language";
import { expect, test } from "vitest";
import type { Protocol } from "../../language/model/index.ts";
import { catalogue } from "../../language/rules/catalogue.ts";
import { slipsOf } from "../../language/runs/faults/slips.ts";
import {
  type BrokenCheck,
  exploreRuns,
  REQUIREMENT_RULE,
  requirementsInOrder,
  type Watcher,
} from "../../language/runs/index.ts";
import { again, mostOf, seeds } from "../questions.ts";
import { type Broken, keyOf, type Limits, requirementKey } from "./protocol-state.ts";
import { randomFrom } from "./random.ts";
import { randomProtocol } from "./random-protocol.ts";
import { walkAll } from "./walk-all.ts";

/** All times are a few seconds, so that every run can be gone through second by second. */
const LIMITS: Limits = {
  action: 1,
  cuffAction: 1,
  cuffTest: 3,
  cuffTestPause: 2,
  minimum: 5,
  occlusion: 12,
  swap: 2,
  flat: 1,
  recovery: 3,
};

/** By rule; the rules that are not named here are not compared. */
const PARAMETERS: Readonly<Record<string, number>> = {
  "cuff-failure-not-handled": 0,
  "anaesthetic-after-toxicity": 0,
  "early-release": LIMITS.minimum,
  "no-cuff-up": 0,
  "occlusion-too-long": LIMITS.occlusion,
  "swap-before-onset": LIMITS.swap,
  "swap-onto-unconfirmed": 0,
  "deflation-too-long": LIMITS.flat,
  "recovery-too-short": LIMITS.recovery,
  "timer-claim-broken": 0,
  "timer-never-starts": 0,
  "step-out-of-place": 0,
  "inject-before-occlusion": 0,
  "inject-before-confirm": 0,
  "inject-with-bandage-on": 0,
  "bandage-off-before-occlusion": 0,
  "not-exsanguinated": 0,
  "wrong-inflation-order": 0,
};

/** Protocols with more states of the second-by-second walk are passed over. */
const MOST_STATES = 40_000;

test("random protocols break the same rules at the same places, with as few decisions and as early, as walked second by second", {
  timeout: 3_600_000,
}, () => {
  const protocols = seeds(350);
  const counts = { compared: 0, found: 0, leaking: 0, slipped: 0, goesOn: 0, late: 0 };
  for (const seed of protocols) {
    const text = randomProtocol(seed);
    const { protocol, slip } = withSlip(protocolOf(text, seed), seed);
    const where = `${again(seed)}${slip ? `, where ${slip}` : ""}\n${text}`;
    // Where something is written about leaks, they happen.
    const hasLeaks = text.includes("when cuff-leak");
    const walked = walkAll(protocol, LIMITS, MOST_STATES, { hasLeaks });
    if (!walked) continue;
    counts.compared += 1;
    counts.found += walked.size;
    counts.leaking += hasLeaks ? 1 : 0;
    counts.goesOn += [...walked.keys()].some((key) => key.includes("goes on")) ? 1 : 0;
    counts.slipped += slip ? 1 : 0;
    counts.late += compare(foundByChecker(protocol, hasLeaks), walked, where);
  }
  console.info(
    `${protocols.length} protocols: ${counts.compared} compared, ${counts.leaking} with leaks, ${counts.slipped} with a slip, ${counts.found} breaches, ${counts.late} shown later than they need be, ${counts.goesOn} injections that go on after a leak`,
  );
  expect(counts.compared).toBeGreaterThan(protocols.length * 0.1);
  expect(counts.found).toBeGreaterThan(counts.compared / 4);
  expect(counts.late).toBeLessThan(mostOf(counts.found, 0.01));
});

/** One in three is followed by somebody who makes one slip of the hand. */
function withSlip(protocol: Protocol, seed: number): { protocol: Protocol; slip?: string } {
  const random = randomFrom(seed + 1);
  if (!random.oneIn(3)) return { protocol };
  const slips = [...slipsOf(protocol)];
  if (slips.length === 0) return { protocol };
  const { says, protocol: slipped } = random.pick(slips);
  return { protocol: slipped, slip: says };
}

/**
 * Whatever the walk finds, the checker finds, with as few decisions and as early. What the checker shows in whole seconds, the walk
 * finds too; a run that needs parts of a second is beyond it, but is no worse than one that does not. Gives how many are shown later
 * than they need be: of two ways that reach a breach "after 13 s" the checker takes either, and on each strict bound on it waits for
 * the next whole second.
 */
function compare(
  checked: ReadonlyMap<string, Shown>,
  walked: ReadonlyMap<string, Broken>,
  where: string,
): number {
  const inWholeSeconds = [...checked].filter(([, { isWhole }]) => isWhole).map(([key]) => key);
  const ofWalk = [...walked.keys()].filter((key) => checked.get(key)?.isWhole !== false);
  expect(inWholeSeconds.sort(), where).toEqual(ofWalk.sort());
  let late = 0;
  for (const [key, shown] of checked) {
    const other = walked.get(key);
    if (!other) continue;
    const lateness = shown.at - other.at;
    if (!shown.isWhole) {
      const isAsGood =
        shown.decisions < other.decisions || (shown.decisions === other.decisions && lateness <= 0);
      expect(isAsGood, `${key}\n${where}`).toBe(true);
      continue;
    }
    expect(shown.decisions, `${key}\n${where}`).toBe(other.decisions);
    expect(lateness, `${key}\n${where}`).toBeGreaterThanOrEqual(0);
    expect(lateness, `${key}\n${where}`).toBeLessThanOrEqual(MOST_LATE);
    late += lateness > 0 ? 1 : 0;
  }
  return late;
}

/** Seconds: one for each strict bound but the last on the short ways of these protocols. */
const MOST_LATE = 2;

/** A breach as the checker shows it. */
interface Shown extends Broken {
  readonly isWhole: boolean;
}

function protocolOf(text: string, seed: number): Protocol {
  written.text = text;
  const read = SITE.file(FILE);
  SITE.forget(FILE);
  expect(
    read?.problems.map(({ what }) => what),
    `${again(seed)}\n${text}`,
  ).toEqual([]);
  const [protocol] = read?.protocols ?? [];
  if (!protocol) throw new Error("the text declares no protocol");
  return protocol;
}

const FILE = "small.limb";
const written = { text: "" };
const SITE = new Site(() => written.text);

function foundByChecker(protocol: Protocol, hasLeaks: boolean): Map<string, Shown> {
  const { action: actionTime, cuffAction: cuffActionTime, cuffTest: cuffTestTime, cuffTestPause } = LIMITS;
  const runs = exploreRuns(protocol, {
    timing: {
      actionTime,
      cuffActionTime,
      cuffTestTime,
      cuffTestPause,
      doses: protocol.doses,
      dropped: new Set(),
    },
    watchers: watchersOf(protocol),
    ...(hasLeaks && { leaks: "one" }),
  });
  if (runs.kind === "not-explored") throw new Error(runs.limit);
  if (runs.limit !== undefined) throw new Error(runs.limit);
  const rules = [...Object.keys(PARAMETERS), REQUIREMENT_RULE];
  const choices = tasksWithAChoice(protocol);
  const broken = rules.flatMap((rule) => runs.brokenBy(rule)).filter(isCompared);
  return new Map(broken.map((one) => [keyOfBroken(one, protocol), costOf(one, choices)]));
}

/** Of the answers to leaks, only what the runs tell: that an injection goes on. */
function isCompared({ rule, about }: BrokenCheck): boolean {
  return rule !== "cuff-failure-not-handled" || about === "goes on";
}

function watchersOf(protocol: Protocol): Watcher[] {
  const cuffs = (protocol.cuffs?.cuffs ?? []).map(({ name }) => name);
  return catalogue.flatMap(({ id, watch, watchesEmergencies }): Watcher[] => {
    const value = PARAMETERS[id];
    if (!watch || value === undefined) return [];
    const parameterOf = (rule: string) => PARAMETERS[rule] ?? 0;
    const checksAt = watch({ protocol, cuffs, parameter: () => value, parameterOf });
    return [{ rule: id, checksAt, ...(watchesEmergencies && { inEmergencies: true }) }];
  });
}

function keyOfBroken({ rule, origin, about }: BrokenCheck, protocol: Protocol): string {
  if (rule === REQUIREMENT_RULE) return requirementKey(requirementsInOrder(protocol)[Number(about)], origin);
  return keyOf(
    rule,
    origin,
    rule === "timer-never-starts" || rule === "cuff-failure-not-handled" ? about : "",
  );
}

/** What the shown run needs: its decisions, and its time. */
function costOf({ run }: BrokenCheck, choices: ReadonlySet<string>): Shown {
  const decisions = run.steps.filter(
    ({ kind, says }) =>
      (kind === "event" && !says.startsWith("cuff-leak")) ||
      kind === "leak" ||
      kind === "answer" ||
      (kind === "end" && choices.has(says)),
  ).length;
  return {
    decisions,
    at: run.steps.at(-1)?.at ?? 0,
    isWhole: run.steps.every(({ at }) => Number.isInteger(at)),
  };
}

/** The tasks whose end the team chooses, in the words in which runs show them. */
function tasksWithAChoice(protocol: Protocol): Set<string> {
  const texts = JSON.stringify(protocol, (_, value: unknown) =>
    typeof value === "bigint" ? `${value}` : value,
  );
  const tasks: string[] = [];
  JSON.parse(texts, (_, value: unknown) => {
    if (isTask(value) && (value.takes === undefined || !isExact(value.takes)))
      tasks.push(`task "${value.text}"`);
    return value;
  });
  return new Set(tasks);
}

interface WrittenTask {
  readonly kind: "task";
  readonly text: string;
  readonly takes?: { readonly shortest: unknown; readonly longest?: unknown };
}

function isTask(value: unknown): value is WrittenTask {
  return typeof value === "object" && value !== null && "kind" in value && value.kind === "task";
}

function isExact({ shortest, longest }: NonNullable<WrittenTask["takes"]>): boolean {
  return JSON.stringify(shortest) === JSON.stringify(longest);
}
