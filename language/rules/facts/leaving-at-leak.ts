import { type Protocol, stepsReached } from "../../model/index.ts";
import { type RunsWithLeak, treatmentEmergencies, type WatchedCheck } from "../../runs/index.ts";
import type { RuleContext } from "../engine/definition.ts";
import type { Judgement } from "../engine/judgement.ts";
import { leakHandlers } from "./emergencies-reached.ts";

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

/** A check that is asked in runs with a leak, too. */
export function alsoInLeaks(check: WatchedCheck): WatchedCheck {
  return { ...check, inLeaks: "also" };
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
