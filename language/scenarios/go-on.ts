import { clockText } from "@limbwright/shared/quantity";
import {
  type AutomatonStep,
  interruptedBy,
  isEmergency,
  isOf,
  locationOf,
  type Refusal,
  type RunEvent,
  type State,
  slotsOf,
  testOf,
  wordsOfEvent,
  wordsOfStep,
} from "@limbwright/shared/runtime";
import type { Moment, ScenarioHappening } from "../model/index.ts";
import { cuffOf, INFLATED, is, RELEASED, type RunStep } from "../runs/index.ts";
import type { Rehearsal } from "./rehearsal.ts";
import { type Follower, type Instant, momentWords, type Reached, type Trail, waitingWords } from "./trail.ts";

/** Lets each step take its shortest time until a moment comes to pass, and counts from it; or says why it does not. */
export function runTo(rehearsal: Rehearsal, follower: Follower, instant: Instant, moment: Moment): Reached {
  const isMoment = momentTest(rehearsal, moment);
  let before: Trail = instant.trail;
  for (;;) {
    const next = follower.next(before);
    if (next.kind === "waits") {
      const limit = `The run does not come to ${momentWords(moment)}. ${waitingWords(follower, before)}`;
      return { instant: { ...instant, trail: before, now: before.case.at }, limit };
    }
    const { trail } = next;
    const step = trail.steps.at(-1);
    if (step && isMoment(step, before.standing.state, trail.standing.state)) {
      const { at } = trail.case;
      return { instant: { trail, now: at, since: { at, words: momentWords(moment) } } };
    }
    before = trail;
  }
}

type MomentTest = (step: RunStep, before: State, after: State) => boolean;

/** Whether a moment comes to pass as something happens. */
function momentTest({ traced }: Rehearsal, moment: Moment): MomentTest {
  const slots = slotsOf(traced.automaton.variables);
  switch (moment.kind) {
    case "first-inflation":
      return becomes(testOf(INFLATED, slots));
    case "release":
      return becomes(testOf(is("drug", RELEASED), slots));
    case "start":
    case "end": {
      const { kind, target } = moment;
      if (moment.targetKind === "dose") {
        return (happening) => happening.kind === kind && happening.step?.dose === target;
      }
      if (kind === "start") {
        return ({ kind: is, step }) => is === "start" && step?.kind === "stage" && step.stage === target;
      }
      return endOfStage(traced, target);
    }
  }
}

function becomes(isSo: (state: State) => boolean): MomentTest {
  return (_, before, after) => !isSo(before) && isSo(after);
}

/** A stage ends where the plan, or a handler, goes on outside it; one that an emergency or the end of the run cuts off does not. */
function endOfStage({ automaton, groups }: Rehearsal["traced"], name: string): MomentTest {
  const within = groups.filter((group) => group.kind === "stage" && group.name === name);
  const locations = new Set(within.flatMap((group) => group.locations));
  const emergencies = new Set(
    groups.filter(({ kind }) => kind === "emergency").flatMap((group) => group.locations),
  );
  const isIn = (state: State) => locations.has(locationOf(state)) || locations.has(interruptedBy(state));
  const isCutOff = (state: State) => {
    const phase = automaton.locations[locationOf(state)]?.phase ?? "end";
    return phase === "end" || isEmergency(phase) || emergencies.has(locationOf(state));
  };
  return (_, before, after) => isIn(before) && !isIn(after) && !isCutOff(after);
}

/**
 * Lets something happen: an event at this instant; the end of a task and an answer as soon as they can be, but not after
 * `latest`. Or says why it cannot.
 */
export function happen(
  rehearsal: Rehearsal,
  follower: Follower,
  instant: Instant,
  happening: ScenarioHappening,
  latest: number,
): Reached {
  const event = eventOfHappening(rehearsal, instant, happening);
  if (typeof event === "string") return { instant, limit: event };
  if (!isInTheProtocol(rehearsal, event)) return { instant, limit: unknownWords(rehearsal, event) };
  if (happening.kind === "event") return strike(follower, instant, event);
  let { trail, now } = instant;
  for (;;) {
    const offered = trail.case.offer(event, now);
    if (offered.kind === "accepted") {
      return { instant: { ...instant, trail: follower.on(trail, offered.case), now } };
    }
    const later = nextChance(follower, trail, offered);
    if (!later || later.now > latest) {
      const why = later ? "" : ` ${waitingWords(follower, trail)}`;
      return { instant: { ...instant, trail, now }, limit: `${offered.words}${why}` };
    }
    trail = later.trail;
    now = Math.max(now, later.now);
  }
}

/** An event strikes the step in hand, or the one that begins at that instant. */
function strike(follower: Follower, instant: Instant, event: RunEvent): Reached {
  const offered = instant.trail.case.offer(event, instant.now);
  const isBetween = offered.kind === "refused" && offered.because === "between-steps";
  const struck = offered.kind === "accepted" ? offered.case : isBetween ? offered.anyway : undefined;
  if (struck) return { instant: { ...instant, trail: follower.on(instant.trail, struck) } };
  return { instant, ...(offered.kind === "refused" && { limit: offered.words }) };
}

/** When what was refused may be tried again: once what is in hand has lasted long enough, or the next thing has happened. */
function nextChance(follower: Follower, trail: Trail, { because, from }: Refusal) {
  if (because === "too-early" && from !== undefined) {
    const later = follower.until(trail, from);
    return { trail: later, now: follower.isBetweenSteps(later) ? later.case.at : from };
  }
  const next = follower.next(trail);
  return next.kind === "waits" ? undefined : { trail: next.trail, now: next.trail.case.at };
}

/** What the runtime calls it. */
function eventOfHappening(
  { traced }: Rehearsal,
  instant: Instant,
  happening: ScenarioHappening,
): RunEvent | string {
  switch (happening.kind) {
    case "task-ends":
      return { kind: "end", step: { kind: "task", text: happening.text } };
    case "answer": {
      const { question, yes } = happening;
      return { kind: "answer", step: askedWith(traced, question, instant), answer: yes ? "yes" : "no" };
    }
    case "event": {
      const { event, cuff } = happening;
      if (event !== "cuff-leak")
        return { kind: "event", event: { name: event, ...(cuff !== undefined && { cuff }) } };
      const leaking = cuff === undefined ? cuffsUp(traced, instant) : [cuff];
      const [only, another] = leaking;
      if (only !== undefined && another === undefined) return { kind: "leak", cuff: only };
      const why = only === undefined ? "No cuff is up" : "Several cuffs are up";
      return `${why} at ${clockText(instant.now)}: write which one leaks, as \`event cuff-leak of CUFF happens\`.`;
    }
  }
}

/** The step that a text asks about: a question, or `confirm CUFF`, which can be answered, too. */
function askedWith({ automaton }: Rehearsal["traced"], text: string, { trail, now }: Instant): AutomatonStep {
  const steps = automaton.edges.flatMap(({ kind, step }) => (kind === "answer" && step ? [step] : []));
  const asked: AutomatonStep = { kind: "ask", question: text };
  const meant = [asked, ...steps.filter((step) => wordsOfStep(step) === text)];
  const canBeAnswered = (step: AutomatonStep) =>
    trail.case.offer({ kind: "answer", step, answer: "no" }, now).kind === "accepted";
  return meant.find(canBeAnswered) ?? meant[1] ?? asked;
}

function cuffsUp({ automaton }: Rehearsal["traced"], { trail, now }: Instant): string[] {
  const { facts } = trail.case.due(now);
  return automaton.variables.flatMap(({ name }) => {
    const cuff = cuffOf(name);
    return cuff !== undefined && facts[name] !== "flat" ? [cuff] : [];
  });
}

function isInTheProtocol({ traced }: Rehearsal, event: RunEvent): boolean {
  return traced.automaton.edges.some((edge) => !edge.due && isOf(edge, event));
}

function unknownWords({ protocol }: Rehearsal, event: RunEvent): string {
  const says = wordsOfEvent(event);
  switch (event.kind) {
    case "answer":
      return `\`${protocol.name}\` asks no such question, so \`${says}\` is no answer in it.`;
    case "event":
      return `\`${protocol.name}\` has no \`when ${says}\`.`;
    case "leak":
      return `\`${protocol.name}\` has no such cuff.`;
    case "start":
    case "end":
      return `\`${protocol.name}\` has no \`${says}\`.`;
  }
}
