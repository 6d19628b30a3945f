import type { Origin, Repair } from "@limbwright/shared/finding";
import { clockText, inBase, secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Protocol, type Timer } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { type BrokenCheck, pickCuffs } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected, Judgement } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { emergencyReleases, whyNoEmergencyRelease } from "../facts/emergency-release.ts";
import { canLeaveAtLeak, inLeaksWhere, judgeAlsoAfterLeak } from "../facts/leaving-at-leak.ts";
import { isPlannedRelease, releaseBefore, releaseTimeText, secondsHeld } from "../facts/planned-release.ts";
import { lastInjected, stepAt } from "../facts/shown-run.ts";
import { repairByWaiting } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameter }) => {
    const isForEmergency = emergencyReleases(protocol);
    const isAsked = canLeaveAtLeak(protocol);
    return (instant) =>
      isPlannedRelease(instant) &&
      instant.kind === "start" &&
      instant.step.kind === "deflate" &&
      !isForEmergency(instant)
        ? inLeaksWhere(
            isAsked,
            releaseBefore(parameter("minimum"), pickCuffs(instant.step.cuffs, cuffs), cuffs),
          )
        : [];
  },
  judge,
};

function judge(context: RuleContext<"runs">): Judgement {
  const { value, isLocal, from, origin: setBy } = context.parameter("minimum");
  const minimum = value.valueOf();
  const least = secondsText(minimum);
  const { rule } = context;
  const words = ({ origin, run }: BrokenCheck) => {
    const dose = lastInjected(run) ?? "the injection";
    const held = secondsHeld(run);
    const misplaced = whyNoEmergencyRelease(stepAt(context.protocol, origin));
    const short = misplaced ? undefined : waitTooShort(context.protocol, dose, held);
    return {
      origin: short ?? origin,
      related: [
        ...(short ? [{ origin, note: "the release" }] : []),
        ...(setBy ? [{ origin: setBy, note: `${least}, by the local rules` }] : []),
      ],
      what: `\`${run.steps.at(-1)?.says}\` can let the last cuff down ${releaseTimeText(run, minimum)}; ${least} is the least${isLocal ? ` (${from})` : ""}.`,
      label: held === undefined ? "before the injection is over" : `${clockText(minimum - held)} too early`,
      ...(misplaced ? { next: misplaced } : repairFor(context.protocol, origin, dose, minimum)),
    };
  };
  return judgeAlsoAfterLeak(context, (runs) => judgeOverRuns({ rule, runs }, words));
}

/**
 * Where a timer says too little that was waited for before the release: it is nearer to the author than the release, which may stand in
 * another file. Nothing where even that wait was left out.
 */
function waitTooShort(protocol: Protocol, dose: string, held: number | undefined): Origin | undefined {
  const waited = countingFrom(protocol, dose).filter(
    (timer) => timer.atLeast && isWaitedFor(protocol, timer),
  );
  return waited.find((timer) => held !== undefined && held >= atLeast(timer))?.atLeast?.origin;
}

function countingFrom({ timers }: Protocol, dose: string): Timer[] {
  return timers.filter(({ from }) => from?.kind === "end" && from.target === dose);
}

/** A timer that counts from the end of the injection is waited for; one has to be written where there is none. */
function repairFor(
  protocol: Protocol,
  origin: Origin,
  dose: string,
  minimum: number,
): Pick<Detected, "next" | "repairs"> {
  const counting = countingFrom(protocol, dose);
  const least = secondsText(minimum);
  const timer = counting.find((one) => isWaitedFor(protocol, one)) ?? counting[0];
  if (!timer) {
    return {
      next: `Write a timer \`from end of ${dose}\` with \`at least ${least}\`, and \`wait for\` it before this step.`,
    };
  }
  const long = counting.find((one) => atLeast(one) >= minimum);
  if (long) {
    const repairs = repairByWaiting(protocol, origin, long);
    return { next: `Write \`wait for ${long.name}\` before this step.`, repairs };
  }
  const waited = isWaitedFor(protocol, timer) ? [] : repairByWaiting(protocol, origin, timer);
  const wait = isWaitedFor(protocol, timer) ? "" : `, and write \`wait for ${timer.name}\` before this step`;
  return {
    next: `Let \`${timer.name}\` say \`at least ${least}\`${wait}.`,
    repairs: timer.atLeast ? longerWait(timer.atLeast.origin, least, waited) : [],
  };
}

function longerWait(bound: Origin, least: string, waited: readonly Repair[]): Repair[] {
  const wait = waited.flatMap(({ changes }) => changes);
  const title = `Let the timer say at least ${least}${wait.length === 0 ? "" : ", and wait for it"}`;
  return needsALook(title, { origin: bound, text: least }, ...wait);
}

function isWaitedFor(protocol: Protocol, { name }: Timer): boolean {
  return [...allSteps(protocol)].some((step) => step.kind === "wait-for" && step.timer === name);
}

function atLeast({ atLeast: bound }: Timer): number {
  return bound ? inBase(bound).valueOf() : 0;
}
