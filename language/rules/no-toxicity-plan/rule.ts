import { originKey } from "@limbwright/shared/finding";
import { durationText, quantityText } from "@limbwright/shared/quantity";
import { allHandlers, type Handler, type Protocol } from "../../model/index.ts";
import {
  all,
  any,
  type BrokenCheck,
  DRUG_GIVEN,
  DRUG_IN_LIMB,
  handlerWords,
  IN_FORCE,
  isOfLeaks,
  isOfToxicitySigns,
  not,
  type Runs,
  type WatchedCheck,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeOverRuns, runEvidence } from "../engine/over-runs.ts";
import { timingOf } from "../engine/runs-for.ts";
import { canLeaveAtLeak, inLeaksWhere, judgeAlsoAfterLeak } from "../facts/leaving-at-leak.ts";
import { longestTime, timeText } from "../facts/longest-time.ts";
import { anyTreatment, slipsOf } from "../facts/treatment-ways.ts";
import { mayReturn, placesOf, waysOfAnswer } from "../facts/ways.ts";
import { repairByAnswering, repairByAnsweringAlways, repairByAnsweringThroughout } from "./plan-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, parameter }) => {
    const answers = new Set(answersOf(protocol).filter((handler) => isInForce(protocol, handler)));
    const isInStages = [...answers].some((handler) => !protocol.throughout.includes(handler));
    const long = longHandlers(protocol, parameter("longest-wait"));
    const isAsked = isAskedInLeaks(protocol, long);
    return (instant) => {
      if (instant.kind !== "any") return [];
      const isAnswer = (handler: Handler) => answers.has(handler);
      // Whoever is at the answer needs no second one, though it may be used up by then.
      const answered = any(instant.answered(isAnswer), instant.running(isAnswer));
      // Between two stages that answer no time passes.
      const inTime = isInStages ? [instant.inHand()] : [];
      const unanswered: WatchedCheck = { when: all(MAY_BE_TOXIC, not(answered), ...inTime) };
      const cutsIn = instant.answered((handler) => isAnswer(handler) && isOnlyEmergency(handler));
      const waiting = long.map(
        ({ handler }): WatchedCheck => ({
          when: all(
            MAY_BE_TOXIC,
            instant.running((one) => one === handler),
            not(cutsIn),
          ),
          origin: handler.origin,
          about: originKey(handler.origin),
        }),
      );
      return inLeaksWhere(isAsked, [unanswered, ...waiting]);
    };
  },
  judge: (context) => judge(context),
};

/** From the start of the first injection to the end of recovery, and as long as the drug is in the limb. */
const MAY_BE_TOXIC = any(DRUG_IN_LIMB, all(DRUG_GIVEN, IN_FORCE));

function judge(context: RuleContext<"runs">): Judgement {
  const { protocol, runs } = context;
  const answers = answersOf(protocol);
  const obstacles = answers.flatMap((handler) => obstacleIn(protocol, handler) ?? []);
  if (obstacles.length > 0) return found(...withRun(obstacles, runs));
  if (answers.some((handler) => isInForce(protocol, handler))) {
    const { rule, parameter } = context;
    const long = longHandlers(protocol, parameter("longest-wait").value.valueOf());
    const isAsked = isAskedInLeaks(protocol, long);
    return judgeAlsoAfterLeak(
      context,
      (asked) => judgeOverRuns({ rule, runs: asked }, (broken) => words(broken, context)),
      { isAsked },
    );
  }
  if (protocol.incomplete) return undecided("part of the steps was not understood");
  return found(...withRun([unanswered(protocol)], runs));
}

function isAskedInLeaks(protocol: Protocol, long: ReturnType<typeof longHandlers>): boolean {
  return canLeaveAtLeak(protocol) || long.some(({ handler }) => isOfLeaks(handler));
}

/** The earliest run in which signs of toxicity would meet no answer, where there is one to show. */
function withRun([first, ...others]: readonly Detected[], runs: Runs): Detected[] {
  const broken = runs.kind === "explored" ? runs.brokenBy("no-toxicity-plan")[0] : undefined;
  if (!first) return [];
  return [broken ? { ...first, run: runEvidence(broken.run) } : first, ...others];
}

function answersOf(protocol: Protocol): Handler[] {
  return allHandlers(protocol).filter(isOfToxicitySigns);
}

/** Why an answer stands in the way of another, wherever it is in force; undefined where it leads to treatment. */
function obstacleIn(protocol: Protocol, handler: Handler): Detected | undefined {
  const treats = anyTreatment(protocol);
  if (!placesOf(waysOfAnswer(protocol, handler)).some(treats)) {
    if (protocol.incomplete) return undefined;
    return {
      origin: handler.origin,
      what: "Signs of toxicity are answered, but the answer leads to no emergency.",
      label: "leads to no emergency",
      next: NEXT,
    };
  }
  const dismissed = slipsOf(protocol, handler, treats, NO_LIMITS).find(({ kind }) => kind === "dismissed");
  if (!dismissed || protocol.incomplete) return undefined;
  const question = dismissed.kind === "dismissed" ? dismissed.question : undefined;
  return {
    origin: handler.origin,
    what: question
      ? `Whoever answers *${question.answer}* to "${question.step.question}" dismisses signs of toxicity: nobody watches the patient.`
      : "One way through the answer to signs of toxicity leads back to the plan without treatment.",
    label: "signs may be dismissed",
    next: question
      ? "Under this answer write `watch 5 min`: what may be the beginning is watched until it is over."
      : "Let every way end in `go to emergency`, or ask whether it is needed, and watch whoever does not need it.",
    ...(question && { related: [{ origin: question.step.origin, note: "asked here" }] }),
  };
}

const NO_LIMITS = { beforeLipid: Number.POSITIVE_INFINITY, lookAgain: Number.POSITIVE_INFINITY };

/** Whether an answer is there for all signs, at any moment of what it stands in. */
function isInForce(protocol: Protocol, handler: Handler): boolean {
  return obstacleIn(protocol, handler) === undefined && gapOf(protocol, handler) === undefined;
}

type Gap = Pick<Detected, "what" | "label" | "next">;

/** When an answer is not there although what it stands in goes on. */
function gapOf(protocol: Protocol, handler: Handler): Gap | undefined {
  if (handler.kind !== "event") return undefined;
  if (handler.notBefore) {
    return {
      what: `Signs of toxicity are answered only from ${quantityText(handler.notBefore)} after the first inflation, and the injection can begin sooner.`,
      label: "not answered from the start",
      next: "Remove `not before …`.",
    };
  }
  if (handler.cuff !== undefined) {
    return {
      what: "Signs of toxicity are answered for one cuff only, and nobody can tell past which cuff the drug has come.",
      label: "for one cuff only",
      next: `Remove \`of ${handler.cuff}\`.`,
    };
  }
  if (handler.times !== undefined && mayReturn(protocol, handler)) {
    return {
      what: "The answer to signs of toxicity can be used up without having led to an emergency; what comes after is then unanswered.",
      label: "may be used up",
      next: "Remove `once` or `up to N times`, or let every way through the answer end in `go to emergency`.",
    };
  }
  return undefined;
}

/** Where no answer is in force at all. */
function unanswered(protocol: Protocol): Detected {
  const answers = answersOf(protocol);
  const [gap] = answers.flatMap((handler) => {
    const words = gapOf(protocol, handler);
    if (!words) return [];
    return [{ ...words, origin: handler.origin, repairs: repairByAnsweringAlways(handler) }];
  });
  if (gap) return gap;
  const [first] = answers.filter((handler) => !protocol.throughout.includes(handler));
  if (first) return { ...inOneStage(first), repairs: repairByAnsweringThroughout(protocol, first) };
  const [emergency] = protocol.emergencies;
  return {
    origin: protocol.nameOrigin,
    what: `Nothing in \`${protocol.name}\` answers signs of toxicity.`,
    label: "no plan for toxicity",
    next: emergency ? NEXT.replace("NAME", emergency.name) : NEXT,
    repairs: repairByAnswering(protocol),
    related: emergency ? [{ origin: emergency.origin, note: "an emergency that could be gone to" }] : [],
  };
}

function inOneStage({ origin }: Handler): Detected {
  return {
    origin,
    what: "Signs of toxicity are answered in one stage only; during the injection, the release and the recovery they are not.",
    label: "in this stage only",
    next: "Move it to `throughout { … }`, where it answers from the first inflation to the end of recovery.",
  };
}

/** A run in which no answer is in force although one is somewhere else, or in which it waits. */
function words(
  { about, origin, run }: BrokenCheck,
  { protocol, parameter }: RuleContext,
): Omit<Detected, "run"> {
  const limit = parameter("longest-wait").value;
  const waiting = longHandlers(protocol, limit.valueOf()).find(
    ({ handler }) => originKey(handler.origin) === about,
  );
  if (!waiting) {
    const { throughout } = protocol;
    return throughout.some(isOfToxicitySigns)
      ? outOfForce(origin, run.steps.at(-1)?.says)
      : unanswered(protocol);
  }
  const { handler, seconds } = waiting;
  return {
    origin,
    what: `While \`${handlerWords(handler)}\` is answered, up to ${timeText(seconds)}, signs of toxicity are not: their answer waits. ${durationText(limit)} is the most.`,
    label: "toxicity would have to wait",
    next: "Let the answer to toxicity signs be `go to emergency NAME` alone, which cuts in on any other, or shorten this one.",
  };
}

function outOfForce(origin: Detected["origin"], last: string | undefined): Detected {
  return {
    origin,
    what: `Signs of toxicity are no longer answered after \`${last ?? "this"}\`, while the drug is in the limb or was just let go.`,
    label: "no answer at one moment",
    next: NEXT,
  };
}

interface LongHandler {
  readonly handler: Handler;
  readonly seconds: number;
}

/** Handlers that keep the team for longer than signs of toxicity may wait. */
function longHandlers(protocol: Protocol, limit: number): LongHandler[] {
  const timing = timingOf(protocol);
  return allHandlers(protocol)
    .filter((handler) => !isOfToxicitySigns(handler) && !isOnlyEmergency(handler))
    .map((handler) => ({ handler, seconds: longestTime(handler.steps, protocol, timing) }))
    .filter(({ seconds }) => seconds > limit);
}

/** Whether it does nothing but go to an emergency, so that it cuts in on any other handler. */
function isOnlyEmergency({ steps: [first, ...more] }: Handler): boolean {
  return first?.kind === "go-to-emergency" && more.length === 0;
}

const NEXT = "Write `when toxicity-signs { go to emergency NAME }` in `throughout { … }`.";
