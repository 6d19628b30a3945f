import {
  interruptedBy,
  isEmergency,
  locationOf,
  type State,
  slotsOf,
  testOf,
} from "@limbwright/shared/runtime";
import type { Moment } from "../model/index.ts";
import { INFLATED, is, RELEASED, type RunStep } from "../runs/index.ts";
import { type Instant, momentWords, type Reached, waitingWords } from "./instant.ts";
import type { Rehearsal } from "./rehearsal.ts";
import type { Follower, Trail } from "./trail.ts";

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
  const isIn = (state: State) => locations.has(locationOf(state)) || locations.has(interruptedBy(state));
  const isCutOff = (state: State) => {
    const phase = automaton.locations[locationOf(state)]?.phase ?? "end";
    return phase === "end" || isEmergency(phase);
  };
  return (_, before, after) => isIn(before) && !isIn(after) && !isCutOff(after);
}
