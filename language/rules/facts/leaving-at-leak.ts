import { type Protocol, type Step, stepsReached } from "../../model/index.ts";
import {
  type Extreme,
  type RunsWithLeak,
  treatmentEmergencies,
  type WatchedCheck,
} from "../../runs/index.ts";
import type { RuleContext } from "../engine/definition.ts";
import type { Judgement } from "../engine/judgement.ts";
import { timingOf } from "../engine/runs-for.ts";
import { leakHandlers } from "./emergencies-reached.ts";
import { longestTime } from "./longest-time.ts";

/**
 * A judgement over the runs as planned and, where an answer to a leak leads elsewhere than back, over those with a leak, too: what is
 * done then no run without a leak comes to.
 */
export function judgeAlsoAfterLeak(
  { protocol, runs, leaks }: RunsOfProtocol,
  judge: (runs: RunsWithLeak) => Judgement,
  { isAsked = canLeaveAtLeak(protocol) } = {},
): Judgement {
  const planned = judge(runs);
  const isOpen = planned.found.length > 0 || planned.undecided.length > 0;
  return isOpen || !isAsked ? planned : judge(leaks);
}

/**
 * Checks as they are asked in runs with a leak, too, where their rule is judged over them. Where it is not, they are left out there, so that
 * nobody has to know what only they ask. What is asked after a leak alone stays: a runtime meets leaks.
 */
export function inLeaksWhere(isAsked: boolean, checks: readonly WatchedCheck[]): WatchedCheck[] {
  return checks.map((check) => (isAsked ? { inLeaks: "also", ...check } : check));
}

type RunsOfProtocol = Pick<RuleContext<"runs">, "protocol" | "runs" | "leaks">;

/** A run with a leak goes on as planned, unless the answer leaves for another way; the treatment of toxicity is judged by itself. */
export function canLeaveAtLeak(protocol: Protocol): boolean {
  const treatments = treatmentEmergencies(protocol);
  const steps = leakHandlers(protocol).flatMap((handler) => [...stepsReached(handler.steps)]);
  return steps.some(
    (step) =>
      step.kind === "finish" ||
      step.kind === "end-stage" ||
      (step.kind === "go-to-emergency" && !treatments.has(step.emergency)),
  );
}

/**
 * Whether the time that an answer to a leak takes can bring what no run as planned brings later than `longest` over a limit, in
 * seconds. What has no longest time as planned is told of that. Bringing the cuff up again takes seconds, and is not counted.
 */
export function canOverrunAtLeak(protocol: Protocol, longest: Extreme | undefined, limit: number): boolean {
  if (longest === undefined) return false;
  const seconds = timeAtLeak(protocol);
  return seconds > 0 && longest.seconds + seconds > limit;
}

/** The longest that answers to a leak keep the team from the plan, in seconds, without bringing the cuff up again. */
export function timeAtLeak(protocol: Protocol): number {
  const timing = timingOf(protocol);
  const others = leakHandlers(protocol).map(({ steps }) => steps.filter((step) => !bringsUp(step)));
  return others.reduce((sum, steps) => sum + longestTime(steps, protocol, timing), 0);
}

/** Whether a step brings a cuff up again in the usual seconds: a time that its author writes counts. */
function bringsUp(step: Step): boolean {
  if (step.kind !== "inflate" && step.kind !== "confirm") return false;
  return step.takes === undefined && !("otherwise" in step && step.otherwise);
}
