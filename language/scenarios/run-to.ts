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
import { type Instant, momentWords, waitingWords } from "./instant.ts";
import type { Rehearsal } from "./rehearsal.ts";
import type { Follower, Trail } from "./trail.ts";

/** Lets each step take its shortest time until a moment comes to pass, and counts from it; or says why it does not. */
export function runTo(
  rehearsal: Rehearsal,
  follower: Follower,
  { trail: from }: Instant,
  moment: Moment,
): Instant | string {
  const isMoment = momentTest(rehearsal, moment);
  let before: Trail = from;
  for (;;) {
    const { case: later, happenings, stoppedBy } = before.case.advance(Number.POSITIVE_INFINITY, ONE_THING);
    if (happenings.length === 0) {
      const why = waitingWords(before.case, stoppedBy);
      return `The run does not come to ${momentWords(moment)}. ${why}`;
    }
    const trail = follower.on(before, later);
    const step = trail.steps.at(-1);
    if (step && isMoment(step, before.standing.state, trail.standing.state)) {
      return { trail, now: later.at, since: { at: later.at, words: momentWords(moment) } };
    }
    before = trail;
  }
}

/** Advances by the one thing that happens next. */
export const ONE_THING = { pace: "shortest", until: () => true } as const;

type MomentTest = (step: RunStep, before: State, after: State) => boolean;

/** Whether a moment comes to pass as something happens. */
function momentTest({ traced }: Rehearsal, moment: Moment): MomentTest {
  const slots = slotsOf(traced.automaton.variables);
  switch (moment.kind) {
    case "first-inflation":
      return becomes(testOf(INFLATED, slots));
    case "release":
      return becomes(testOf(is("drug", RELEASED), slots));
    default: {
      const { kind, target } = moment;
      if (moment.targetKind === "dose") {
        return (step) =>
          step.kind === kind && (step.says === `inject ${target}` || step.says === `give ${target}`);
      }
      if (kind === "start") return (step) => step.kind === "start" && step.says === `stage ${target}`;
      return endOfStage(traced, target);
    }
  }
}

function becomes(isSo: (state: State) => boolean): MomentTest {
  return (_, before, after) => !isSo(before) && isSo(after);
}

/** A stage ends where the plan, or a handler, goes on outside it; one that an emergency or the end of the run cuts off does not. */
function endOfStage({ automaton, groups }: Rehearsal["traced"], name: string): MomentTest {
  const within = groups.filter(({ kind, says }) => kind === "stage" && says === `stage ${name}`);
  const locations = new Set(within.flatMap((group) => group.locations));
  const isIn = (state: State) => locations.has(locationOf(state)) || locations.has(interruptedBy(state));
  const isCutOff = (state: State) => {
    const phase = automaton.locations[locationOf(state)]?.phase ?? "end";
    return phase === "end" || isEmergency(phase);
  };
  return (_, before, after) => isIn(before) && !isIn(after) && !isCutOff(after);
}
