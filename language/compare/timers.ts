import { clockText, inBase } from "@limbwright/shared/quantity";
import type { Timer } from "../model/index.ts";
import { runEvidence } from "../rules/engine/over-runs.ts";
import { momentName, type Run, type RunStep, type Runs } from "../runs/index.ts";
import type { ChangeEvidence, ValueConcerned } from "./comparison.ts";
import { type Field, fieldChanges, limitChange, valueEvidence } from "./fields.ts";
import { partedByKey } from "./pairing.ts";
import { type Both, type Comparing, type FoundChange, kindOf, oneSide, partedChanges } from "./side.ts";

/** What the protocol claims of its timers: their beginning, the least and the most. */
export function timerChanges({ before, now, judged }: Comparing): FoundChange[] {
  const runs = {
    before: judged.before.judgement.explored.runs,
    now: judged.now.judgement.explored.runs,
  };
  return partedChanges(
    partedByKey(before.timers, now.timers, ({ name }) => name),
    (old, recent) => changedTimer(old, recent, runs),
    (timer, isNew) => ({
      code: isNew ? "timer-added" : "timer-removed",
      kind: kindOf(!isNew, isNew),
      about: `timer \`${timer.name}\``,
      what: `The timer \`${timer.name}\` is ${isNew ? "new." : "no longer there; nothing asks for its times."}`,
      ...oneSide(timer, isNew, told),
      ...(!isNew && { evidence: goneEvidence(timer, runs) }),
    }),
  );
}

/** A bound of a timer: `atLeast` speaks of the release, `atMost` of the last deflation. */
type BoundName = "atLeast" | "atMost";

function goneEvidence(timer: Timer, runs: Both<Runs>): ChangeEvidence[] {
  const bounds = BOUNDS.filter(({ bound }) => timer[bound] !== undefined);
  if (bounds.length > 0) return bounds.map(({ bound }) => timerWitness(bound, timer, undefined, runs));
  return [valueEvidence(true, `Any time of \`${timer.name}\` passes now.`)];
}

const BOUNDS = [
  { bound: "atLeast", code: "timer-minimum", words: "The least time" },
  { bound: "atMost", code: "timer-maximum", words: "The longest time" },
] as const;

function told({ name, from }: Timer): string {
  return from ? `${name} from ${momentName(from)}` : name;
}

function momentOf({ from }: Timer): string {
  return from ? momentName(from) : "nothing";
}

const FIELDS: readonly Field<Timer>[] = [
  {
    code: "timer-start",
    name: ({ name }) => `\`${name}\``,
    value: (timer) => ({ value: told(timer), origin: timer.origin }),
    key: momentOf,
  },
];

function changedTimer(before: Timer, now: Timer, runs: Both<Runs>): FoundChange[] {
  const about = `timer \`${now.name}\``;
  const what = `\`${now.name}\` counts from the ${momentOf(now)} now; before, from the ${momentOf(before)}.`;
  return [
    ...fieldChanges(FIELDS, about, before, now).map((found) => ({ ...found, what })),
    ...BOUNDS.flatMap(({ bound, code, words }) =>
      limitChange({ code, about, name: `${words} of \`${now.name}\`` }, before[bound], now[bound]).map(
        (found) =>
          found.kind === "looser" ? { ...found, evidence: [timerWitness(bound, before, now, runs)] } : found,
      ),
    ),
  ];
}

/**
 * What a timer that claims less lets pass: the last cuff coming down, or being up still, at a time that broke the earlier claim. Shown
 * in a run up to that time; of the later version, where that counts from the same moment.
 */
function timerWitness(
  bound: BoundName,
  before: Timer,
  now: Timer | undefined,
  runs: Both<Runs>,
): ValueConcerned {
  const shows = timeBetween(bound, before, now);
  const name = `\`${before.name}\``;
  const when = bound === "atLeast" ? "coming down" : "still up";
  const says = `The last cuff ${when} with ${name} at ${clockText(shows)} breaks no claim of ${name} now; before, it did.`;
  const value = { kind: "value" as const, side: "looser" as const };
  if (bound === "atLeast" && before.from?.kind === "release") {
    return {
      ...value,
      says: `Any time of ${name} passes. It counts from the release, and no run asks how long it has counted by then.`,
    };
  }
  const steps = stepsUpTo(now ?? before, runs.now, shows) ?? stepsUpTo(before, runs.before, shows);
  return steps
    ? { ...value, says, run: runEvidence({ steps }) }
    : { ...value, says: `${says} No run that was gone through starts this timer, so none is shown.` };
}

/** In seconds: what passes now, and is nearest to what passed before. */
function timeBetween(bound: BoundName, before: Timer, now: Timer | undefined): number {
  const seconds = (timer: Timer | undefined) => {
    const limit = timer?.[bound];
    return limit && inBase(limit).valueOf();
  };
  const [old = 0, recent] = [seconds(before), seconds(now)];
  if (bound === "atLeast") return recent ?? Math.max(0, old - 1);
  return recent === undefined ? old + 1 : Math.min(old + 1, recent);
}

/** The run with the earliest release up to the moment at which a timer starts, and then time that passes; undefined where there is none. */
function stepsUpTo({ from }: Timer, runs: Runs, shows: number): RunStep[] | undefined {
  const run = runs.kind === "explored" ? runs.releases.earliest : undefined;
  const start =
    run && from && runs.kind === "explored"
      ? startOf(run, runs.traced.clockFor(momentName(from)), momentName(from))
      : undefined;
  if (!run || start === undefined) return undefined;
  const until = run.steps.filter(({ at }) => at <= start);
  const last = until.at(-1);
  if (!last || shows === 0) return until;
  const { origin: _ofTheStepInHand, ...here } = last;
  return [
    ...until,
    { ...here, at: start + shows, kind: "stays", says: "the occlusion", changes: [], isKey: true },
  ];
}

/** When a clock began to count in a run for the last time. */
function startOf({ steps, clocks, variables }: Run, clock: string, moment: string): number | undefined {
  const counted = clocks[clock];
  const end = steps.at(-1)?.at;
  if (counted === undefined || end === undefined || variables[`${moment} has been`] !== 1) return undefined;
  return end - counted;
}
