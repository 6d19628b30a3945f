import { type ClockCondition, type Condition, isEmergency, wordsOfAnswer } from "@limbwright/shared/runtime";
import type { Step } from "../../model/index.ts";
import { checksAt, instantOf } from "./checks.ts";
import type { NewEdge } from "./draft.ts";
import { longestStay, secondsOf, shortestStay } from "./durations.ts";
import { enterEmergency, noteBegun, treatmentEmergencies } from "./emergencies.ts";
import { hasBeen, is, LET_GO_AFTER_SIGNS, LET_GO_FOR_EMERGENCY, not, set } from "./facts.ts";
import { decides, INJECTION_STOPPED, isDecision, LEAK_RELEASED } from "./leak-facts.ts";
import { changing, type Effect, joinEffects, momentName, NO_EFFECT } from "./moments.ts";
import {
  type Building,
  isInHandler,
  locationBefore,
  locationDuring,
  type Place,
  stepClock,
} from "./place.ts";
import { buildStage } from "./stages.ts";
import {
  isInHand,
  meaningInHand,
  type StepInHand,
  type StepLeadingOn,
  stepData,
  stepWords,
} from "./step-meaning.ts";

/** Builds steps that lead on to `after`; gives the location before the first. */
export function buildSteps(building: Building, steps: readonly Step[], after: number, place: Place): number {
  return steps.reduceRight((next, step) => buildStep(building, step, next, place), after);
}

function buildStep(building: Building, step: Step, after: number, place: Place): number {
  return isInHand(step)
    ? buildStepInHand(building, step, after, place)
    : buildStepLeadingOn(building, step, after, place);
}

function buildStepLeadingOn(building: Building, step: StepLeadingOn, after: number, place: Place): number {
  switch (step.kind) {
    case "stage":
      return buildStage(building, step, after, place);
    case "do":
      return enter(building, step, buildSteps(building, step.steps, after, place), place);
    case "repeat":
      return buildRepeat(building, step, after, place);
    case "ask":
      return buildQuestion(building, step, after, place);
    case "end-stage":
      return buildEndOfStage(building, step, after, place);
    case "go-to-emergency":
      return buildEmergency(building, step, place);
    case "finish":
      return buildFinish(building, step, place);
    case "wait-for":
      return buildWaitFor(building, step, after, place);
  }
}

function buildStepInHand(building: Building, step: StepInHand, after: number, place: Place): number {
  const { draft, timing, setting } = building;
  const meaning = meaningInHand(step);
  const [says, data] = [stepWords(step), stepData(step)];
  const lasting = meaning.lasting(step, timing);
  const clock = stepClock(place);
  const before = locationBefore(building, `before ${says}`, place);
  const during = locationDuring(building, says, place, longestStay(clock, lasting, timing), step);
  const atStart = joinEffects(
    meaning.atStart(step, setting),
    beginsAnew(building, step, place),
    lettingGo(step, place),
    building.tracked("start", step),
  );
  const start = draft.addEdge({
    kind: "start",
    says,
    step: data,
    from: [before],
    to: during,
    set: atStart.set,
    reset: [{ clock }, ...atStart.reset],
    checks: checksAt(building, instantOf(building, "start", step, place), step.origin),
    origin: step.origin,
  });
  const atEnd = joinEffects(
    meaning.atEnd(step, setting),
    decisionOf(building, step),
    building.tracked("end", step),
  );
  if (step.kind === "inject" && !step.intoOtherLimb) {
    const { origin } = step;
    const isInterruptible = !isInHandler(place);
    building.injections.push({ says, step: data, during, after, atEnd, isInterruptible, origin });
  }
  const guard = shortestStay(clock, lasting, timing);
  const end = {
    kind: "end",
    says,
    step: data,
    from: [during],
    to: after,
    ...(guard.length > 0 && { guard }),
    origin: step.origin,
  } as const;
  draft.addEdge({
    ...end,
    ...atEnd,
    ...(step.kind === "task" && lasting.shortest !== lasting.longest && { decision: true }),
    checks: checksAt(building, instantOf(building, "end", step, place), step.origin),
  });
  draft.addElement({ kind: "step", says, origin: step.origin, edges: [start], step });
  const { onFailure } = meaning;
  const otherwise = onFailure === "cannot fail" ? undefined : onFailure.otherwise(step);
  if (onFailure !== "cannot fail" && otherwise) {
    const failed = wordsOfAnswer(data, "no");
    const answer = draft.addEdge({
      ...end,
      kind: "answer",
      says: failed,
      answer: "no",
      to: buildSteps(building, otherwise, after, place),
      ...onFailure.effect(step, setting),
      decision: true,
    });
    draft.addElement({
      kind: "answer",
      says: failed,
      answer: "no",
      origin: step.origin,
      edges: [answer],
    });
  }
  return before;
}

/** A deflation to save limb or life is remembered as such, with whether it came after toxicity signs. */
function lettingGo(step: Step, { phase }: Place): Effect {
  if (step.kind !== "deflate" || !step.forEmergency) return NO_EFFECT;
  return changing(set(LET_GO_FOR_EMERGENCY.variable, isEmergency(phase) ? LET_GO_AFTER_SIGNS.is : 1));
}

/** Whether an injection was stopped is asked of each anew. */
function beginsAnew({ leaks }: Building, { kind }: Step, place: Place): Effect {
  return leaks && kind === "inject" && !isInHandler(place)
    ? changing(set(INJECTION_STOPPED.variable, 0))
    : NO_EFFECT;
}

/** What goes on after a leak is decided; where none is explored there is nothing to decide. */
function decisionOf({ leaks }: Building, step: Step): Effect {
  return leaks && isDecision(step) ? changing(decides()) : NO_EFFECT;
}

/** A step that takes no time itself is one edge, from the location before it. */
function buildInstantStep(
  building: Building,
  step: Step,
  place: Place,
  edge: () => Omit<NewEdge, "says" | "step" | "from" | "origin">,
): number {
  const { draft } = building;
  const says = stepWords(step);
  const before = locationBefore(building, `before ${says}`, place);
  const own = { says, step: stepData(step), origin: step.origin };
  const number = draft.addEdge({ ...own, from: [before], ...edge() });
  draft.addElement({ kind: "step", says, origin: step.origin, edges: [number], step });
  return before;
}

/** A step that only leads on to what it holds. */
function enter(building: Building, step: Step, entry: number, place: Place): number {
  return buildInstantStep(building, step, place, () => ({ kind: "pass", to: entry }));
}

function buildRepeat(
  building: Building,
  step: Step & { readonly kind: "repeat" },
  after: number,
  place: Place,
): number {
  const { draft, counter } = building;
  const says = stepWords(step);
  const round = draft.addVariable({ name: `round ${counter.next++}`, first: 0 });
  const again = locationBefore(building, `after a round of ${says}`, place);
  const inner = buildSteps(building, step.steps, again, place);
  const pass = { kind: "pass", says, step: stepData(step), from: [again], origin: step.origin } as const;
  const isLast = { variable: round, atLeast: step.times };
  draft.addEdge({ ...pass, to: inner, when: not(isLast), set: [{ variable: round, plus: 1 }] });
  draft.addEdge({ ...pass, to: after, when: isLast, set: [set(round, 0)] });
  return buildInstantStep(building, step, place, () => ({ kind: "pass", to: inner, set: [set(round, 1)] }));
}

function buildQuestion(
  building: Building,
  step: Step & { readonly kind: "ask" },
  after: number,
  place: Place,
): number {
  const { draft } = building;
  const before = locationBefore(building, `before ${stepWords(step)}`, place);
  const { set } = decisionOf(building, step);
  for (const answer of ["yes", "no"] as const) {
    const data = stepData(step);
    const says = wordsOfAnswer(data, answer);
    const to = buildSteps(building, step[answer], after, place);
    const edge = draft.addEdge({
      kind: "answer",
      says,
      step: data,
      answer,
      from: [before],
      to,
      ...(set.length > 0 && { set }),
      decision: true,
      origin: step.origin,
    });
    draft.addElement({ kind: "answer", says, answer, origin: step.origin, edges: [edge] });
  }
  return before;
}

function buildEndOfStage(
  building: Building,
  step: Step & { readonly kind: "end-stage" },
  after: number,
  place: Place,
): number {
  const { stages } = place;
  const at =
    step.stage === undefined ? stages.length - 1 : stages.findLastIndex(({ name }) => name === step.stage);
  const target = stages[at];
  if (!target) return enter(building, step, after, place);
  const leavesHandler = isInHandler(place) && !target.inHandler;
  const effect = joinEffects(...stages.slice(at).map(({ atExit }) => atExit));
  // The stages around go on, and the handler has taken of their time.
  const touched = stages
    .slice(0, at)
    .flatMap((around) => (leavesHandler && around.touched !== undefined ? [set(around.touched, 1)] : []));
  return buildInstantStep(building, step, place, () => ({
    kind: "start",
    to: target.exit,
    set: [...effect.set, ...touched],
    reset: effect.reset,
    ...(leavesHandler && { forgets: true }),
  }));
}

function buildEmergency(
  building: Building,
  step: Step & { readonly kind: "go-to-emergency" },
  place: Place,
): number {
  const { draft } = building;
  const edgeTo = (isAfterSigns: boolean, when?: Condition) =>
    ({
      kind: "start",
      to: enterEmergency(building, step.emergency, isAfterSigns),
      ...(when && { when }),
      set: [set("emergency", 1), ...noteBegun(building, step.emergency, isAfterSigns)],
      forgets: true,
    }) as const;
  const isTreatment = treatmentEmergencies(building.protocol).has(step.emergency);
  if (!building.leaks || place.isAfterSigns || !isTreatment) {
    return buildInstantStep(building, step, place, () => edgeTo(place.isAfterSigns));
  }
  // After a leak that left no cuff up, which is a release, it is treatment.
  const released = is(LEAK_RELEASED, 1);
  const before = buildInstantStep(building, step, place, () => edgeTo(true, released));
  const own = { says: stepWords(step), step: stepData(step), from: [before], origin: step.origin };
  draft.addEdge({ ...own, ...edgeTo(false, not(released)) });
  return before;
}

function buildFinish(building: Building, step: Step, place: Place): number {
  const { origin } = step;
  return buildInstantStep(building, step, place, () => ({
    kind: "finish",
    to: building.end,
    forgets: true,
    checks: checksAt(building, { kind: "finish", origin, phase: place.phase }, origin),
  }));
}

/** Waits until the timer has reached its `at least`; one that has is not waited for. */
function buildWaitFor(
  building: Building,
  step: Step & { readonly kind: "wait-for" },
  after: number,
  place: Place,
): number {
  const { draft, protocol } = building;
  const says = stepWords(step);
  const timer = protocol.timers.find(({ name }) => name === step.timer);
  if (!timer?.from) return enter(building, step, after, place);
  const clock = momentName(timer.from);
  const runs = hasBeen(clock);
  const before = locationBefore(building, `before ${says}`, place);
  const common = { says, step: stepData(step), from: [before], origin: step.origin } as const;
  const seconds = secondsOf(timer.atLeast);
  const checks = checksAt(building, instantOf(building, "start", step, place), step.origin);
  const missing = draft.addEdge({ ...common, kind: "start", to: after, when: not(runs), checks });
  if (!timer.atLeast) {
    // Nothing says how long: whoever waits, waits for ever.
    const forever = locationDuring(building, says, place, [], step);
    const start = draft.addEdge({ ...common, kind: "start", to: forever, when: runs });
    draft.addElement({ kind: "step", says, origin: step.origin, edges: [missing, start], step });
    return before;
  }
  const during = locationDuring(building, says, place, [{ clock, seconds }], step);
  const guard = (is: ClockCondition["is"]): ClockCondition[] => [{ clock, is, seconds }];
  const start = draft.addEdge({ ...common, kind: "start", to: during, when: runs, guard: guard("under") });
  const pass = draft.addEdge({ ...common, kind: "pass", to: after, when: runs, guard: guard("at-least") });
  draft.addEdge({ ...common, kind: "end", from: [during], to: after, guard: guard("at-least") });
  draft.addElement({ kind: "step", says, origin: step.origin, edges: [missing, start, pass], step });
  return before;
}
