import {
  exactText,
  fromBase,
  inBase,
  isA,
  MASS,
  type Quantity,
  quantityText,
  rational,
  roundedText,
} from "@limbwright/shared/quantity";
import { baseValue, type Measure } from "@limbwright/shared/rule-file";
import {
  type AutomatonStep,
  type Case,
  keyOfStep,
  type Offered,
  type Refusal,
} from "@limbwright/shared/runtime";
import { listText } from "@limbwright/shared/text";
import {
  type Action,
  allSteps,
  type Protocol,
  type ScenarioExpectation,
  type Step,
  type WrittenQuantity,
} from "../model/index.ts";
import { closestName } from "../model/spelling.ts";
import { catalogue } from "../rules/catalogue.ts";
import { actionData, actionWords } from "../rules/facts/action-words.ts";
import { cuffNames, doesAction, pickCuffs, REQUIREMENT_RULE, stepData } from "../runs/index.ts";
import type { Rehearsal } from "./rehearsal.ts";
import type { ExpectationOutcome } from "./result.ts";
import { afterText, type Follower, type Instant, type Trail, waitingWords, whenText } from "./trail.ts";

type StepExpectation = Extract<ScenarioExpectation, { readonly action: Action }>;

/** What is expected of a step, in words: "`deflate all` refused by `early-release`". */
export function stepExpectationWords(expectation: StepExpectation, { since }: Instant): string {
  const step = `\`${actionWords(expectation.action)}\``;
  switch (expectation.kind) {
    case "allowed":
      return `${step} allowed`;
    case "refused":
      return `${step} refused by \`${expectation.rule}\``;
    case "due":
      return `${step} due ${afterText(inBase(expectation.at).valueOf(), since)}`;
  }
}

/** Judges at an instant what is expected of a step; the step is not taken. */
export function judgeStep(
  rehearsal: Rehearsal,
  follower: Follower,
  instant: Instant,
  expectation: StepExpectation,
): ExpectationOutcome {
  const expected = stepExpectationWords(expectation, instant);
  const steps = stepsNamed(rehearsal.protocol, expectation.action);
  const noStep = `\`${rehearsal.protocol.name}\` has no such step.`;
  switch (expectation.kind) {
    case "allowed":
      if (steps.length === 0) return { outcome: "failed", expected, found: noStep };
      return { expected, ...judgeAllowed(offersOf(instant, steps)) };
    case "refused": {
      const limit = steps.length === 0 ? noStep : notWatched(expectation.rule);
      if (limit !== undefined) return { outcome: "not-decided", expected, limit };
      return { expected, ...judgeRefused(offersOf(instant, steps), expectation.rule) };
    }
    case "due": {
      if (steps.length === 0) return { outcome: "failed", expected, found: noStep };
      const at = instant.since.at + inBase(expectation.at).valueOf();
      return { expected, ...judgeDue(follower, instant, steps, at) };
    }
  }
}

/** What came of an expectation, beside its words. */
type Judged =
  | { readonly outcome: "passed" | "failed"; readonly found: string }
  | { readonly outcome: "not-decided"; readonly limit: string };

function offersOf({ trail, now }: Instant, steps: readonly AutomatonStep[]): Offered[] {
  return steps.map((step) => trail.case.offer({ kind: "start", step }, now));
}

function judgeAllowed(offers: readonly Offered[]): Judged {
  if (offers.some(isAllowed)) return { outcome: "passed", found: "it is allowed" };
  return { outcome: "failed", found: wordsFound(offers) };
}

/** Taking the step at that instant would break the rule, also where it is accepted because nothing is mended by waiting. */
function judgeRefused(offers: readonly Offered[], rule: string): Judged {
  const breaksIt = offers.filter(({ rules }) => rules.some((broken) => broken.rule === rule));
  if (offers.some(isAllowed)) return { outcome: "failed", found: "it is allowed" };
  if (breaksIt.length > 0) return { outcome: "passed", found: wordsFound(breaksIt) };
  return { outcome: "failed", found: wordsFound(offers) };
}

function isAllowed({ kind, rules }: Offered): boolean {
  return kind === "accepted" && rules.length === 0;
}

/** What the runtime says of the step; where several are meant, of the one that comes nearest. */
function wordsFound(offers: readonly Offered[]): string {
  const [first] = [...offers].sort((a, b) => rank(a) - rank(b));
  if (!first) return "";
  if (first.kind === "refused") return first.words;
  const names = listText([...new Set(first.rules.map(({ rule }) => `\`${rule}\``))]);
  return `It can be started, but it breaks ${names}.`;
}

function rank(offered: Offered): number {
  if (offered.kind === "accepted") return 0;
  return ["breaks-a-rule", "too-early"].includes(offered.because) ? 1 : 2;
}

/** Why no step can be said to break a rule; undefined for a rule that watches runs. */
function notWatched(rule: string): string | undefined {
  const known = catalogue.find(({ id }) => id === rule);
  if (rule === REQUIREMENT_RULE || known?.watch) return undefined;
  if (known) {
    return `\`${rule}\` judges the protocol as a whole, not a step at a moment; \`limb check\` answers it.`;
  }
  const close = closestName(
    rule,
    catalogue.map(({ id }) => id),
  );
  const meant = close === undefined ? "`limb rules` lists them all." : `Did you mean \`${close}\`?`;
  return `There is no rule \`${rule}\`. ${meant}`;
}

/** When the step comes if each step takes its shortest time from here on, and nobody says anything more. */
function judgeDue(
  follower: Follower,
  { trail: from, since }: Instant,
  steps: readonly AutomatonStep[],
  expectedAt: number,
): Judged {
  let trail = from;
  for (;;) {
    const next = follower.next(trail);
    if (next.kind === "waits") return notComing(follower, trail, next.stoppedBy);
    trail = next.trail;
    const step = trail.steps.at(-1);
    const isNamed = step?.step && steps.some(isSameAs(step.step));
    if (step?.kind !== "start" || !isNamed) continue;
    const outcome = step.at === expectedAt ? "passed" : "failed";
    return { outcome, found: `it is due ${whenText(step.at, since)}` };
  }
}

function isSameAs(step: AutomatonStep): (other: AutomatonStep) => boolean {
  const key = keyOfStep(step);
  return (other) => keyOfStep(other) === key;
}

/** What is only a matter of what the scenario has not said is not decided. */
function notComing(follower: Follower, trail: Trail, stoppedBy: Refusal | undefined): Judged {
  const why = `The run does not come to it by itself. ${waitingWords(follower, trail)}`;
  return stoppedBy || trail.case.isOver
    ? { outcome: "failed", found: why }
    : { outcome: "not-decided", limit: why };
}

/** The steps of a protocol that an expectation names: the one that is written so; else each that does the same on the same cuffs. */
function stepsNamed(protocol: Protocol, action: Action): AutomatonStep[] {
  const steps = [...allSteps(protocol)];
  const written = actionData(action);
  const key = keyOfStep(written);
  if (steps.some((step) => keyOfStep(stepData(step)) === key)) return [written];
  const alike = steps
    .filter((step) => doesAction(step, action, protocol) && isOnSameCuffs(step, action, protocol))
    .map(stepData);
  return [...new Map(alike.map((step) => [keyOfStep(step), step])).values()];
}

/** `deflate all` is no way to `deflate proximal` alone, unless there is one cuff. */
function isOnSameCuffs(step: Step, action: Action, protocol: Protocol): boolean {
  if (!("cuffs" in action) || !("cuffs" in step)) return true;
  const cuffs = cuffNames(protocol);
  return pickCuffs(step.cuffs, cuffs).length === pickCuffs(action.cuffs, cuffs).length;
}

/** Whether a dose is what is expected for the patient of the case, exactly. */
export function judgeDose(now: Case, dose: string, value: WrittenQuantity): ExpectationOutcome {
  const expected = `\`${dose}\` is ${quantityText(value)}`;
  const { amount, rate } = now.dose(dose) ?? {};
  const given = isA(value, MASS) ? amount?.mass : amount?.volume;
  if (given) return judge(expected, given, value, `\`${dose}\` is `);
  if (amount) {
    return notDecided(
      expected,
      `\`${dose}\` has no single concentration, so its mass cannot be told from its volume.`,
    );
  }
  if (rate) return notDecided(expected, `\`${dose}\` is given at a rate, so it is no single amount.`);
  return notDecided(expected, withoutMeasure(`\`${dose}\``));
}

/** Whether the pressure of the cuffs is what is expected for the patient of the case, exactly. */
export function judgePressure({ pressure }: Case, value: WrittenQuantity): ExpectationOutcome {
  const expected = `the pressure is ${quantityText(value)}`;
  return pressure
    ? judge(expected, pressure, value, "the pressure is ")
    : notDecided(expected, withoutMeasure("the pressure"));
}

function withoutMeasure(what: string): string {
  return `What ${what} is cannot be told for this patient: say with \`patient\` all that it rests on.`;
}

function judge(expected: string, given: Measure, value: WrittenQuantity, what: string): ExpectationOutcome {
  const exact = baseValue(given) ?? rational(given.value);
  const isSame = exact.equals(inBase(value));
  const found = `${what}${exactWords(fromBase(exact, value.unit.symbol))}`;
  return { outcome: isSame ? "passed" : "failed", expected, found };
}

/** A value of more decimals than are told is said to be rounded, for it is compared exactly. */
function exactWords(found: Quantity): string {
  const told = roundedText(found);
  return told === `${exactText(found.value)} ${found.unit.symbol}` ? told : `${told} (rounded)`;
}

function notDecided(expected: string, limit: string): ExpectationOutcome {
  return { outcome: "not-decided", expected, limit };
}
