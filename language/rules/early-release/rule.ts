import type { Origin, Repair } from "@limbwright/shared/finding";
import { clockText, inBase, secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Protocol, type Timer } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { HOLD, type Instant, pickCuffs, type Watched, type WatchedCheck } from "../../runs/index.ts";
import type { Detected, Judgement, Rule, RuleContext } from "../engine/definition.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { isPlannedRelease, releaseBefore } from "../facts/planned-release.ts";
import { lastInjected } from "../facts/shown-run.ts";
import { repairByWaiting } from "../facts/step-repairs.ts";

const ID = "early-release";

export const rule: Rule<"runs"> = {
  id: ID,
  title: "The cuff is released only after the minimum",
  group: "time",
  severity: "unsafe",
  why: "What has not yet bound to the tissues of the limb reaches the heart and the brain when the cuff goes down.",
  sources: [
    {
      source: "rcem-2017",
      says: "at least 20 min, in an emergency department: the floor that local rules cannot cross",
    },
    { source: "melbourne-children", says: "children: at least 20 min" },
    { source: "miller-children", says: "children: at least 20 min" },
    { source: "miller-block", says: "safely released after 25 min" },
    { source: "general-teaching", says: "30 min" },
    {
      source: "guay-2009",
      says: "a seizure after release at a cuff time of 60 min: no minimum is a guarantee",
    },
    {
      source: "tucker-boas-1971",
      says: "the peak falls with the time of the cuff; about 30 % of the dose comes with a fast release",
    },
    { source: "common-practice", says: "30 min: the standard of this rule" },
    {
      source: "perioperative-nurses",
      says: "surgery over within 20 min of the injection: release in several steps, 2 min apart",
      disagrees: true,
    },
    { source: "general-teaching", says: "at least 15 min", disagrees: true },
    {
      source: "ann-clin-res-1979",
      says: "no correlation of the peak with cuff times of 12 to 87 min",
      disagrees: true,
    },
  ],
  acceptable: false,
  parameters: [
    {
      name: "minimum",
      title: "Shortest time from the end of the injection to the release",
      unit: "min",
      standard: "30",
      tighter: "higher",
      bound: "20",
      source: "common-practice",
    },
  ],
  needs: ["runs"],
  watch,
  judge,
};

function watch({ cuffs, parameter }: Watched): (instant: Instant) => readonly WatchedCheck[] {
  const minimum = parameter("minimum");
  return (instant) =>
    isPlannedRelease(instant) && instant.kind === "start" && instant.step.kind === "deflate"
      ? releaseBefore(minimum, pickCuffs(instant.step.cuffs, cuffs), cuffs)
      : [];
}

function judge(context: RuleContext<"runs">): Judgement {
  const { value, isLocal, from } = context.parameter("minimum");
  const minimum = value.valueOf();
  const least = secondsText(minimum);
  return judgeOverRuns(context, ID, ({ origin, run }) => {
    const dose = lastInjected(run) ?? "the injection";
    const held = run.variables["hold runs"] === 1 ? (run.clocks[HOLD] ?? 0) : undefined;
    const when =
      held === undefined
        ? `before \`${dose}\` is all in`
        : `${clockText(held)} after \`${dose}\`, ${clockText(minimum - held)} too early`;
    return {
      origin,
      what: `\`${run.steps.at(-1)?.says}\` can let the last cuff down ${when}; ${least} is the least${isLocal ? ` (${from})` : ""}.`,
      label: held === undefined ? "before the injection is over" : `${clockText(minimum - held)} too early`,
      ...repairFor(context.protocol, origin, dose, minimum),
    };
  });
}

/** A timer that counts from the end of the injection is waited for; one has to be written where there is none. */
function repairFor(
  protocol: Protocol,
  origin: Origin,
  dose: string,
  minimum: number,
): Pick<Detected, "next" | "repairs"> {
  const counting = protocol.timers.filter(({ from }) => from?.kind === "end" && from.target === dose);
  const least = secondsText(minimum);
  const [timer] = counting;
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
  return {
    next: `Let \`${timer.name}\` say \`at least ${least}\`, and write \`wait for ${timer.name}\` before this step.`,
    repairs: timer.atLeast ? longerWait(timer.atLeast.origin, least, waited) : [],
  };
}

function longerWait(bound: Origin, least: string, waited: readonly Repair[]): Repair[] {
  const wait = waited.flatMap(({ changes }) => changes);
  const title = wait.length === 0 ? `Write at least ${least}` : `Write at least ${least}, and wait for it`;
  return needsALook(title, { origin: bound, text: least }, ...wait);
}

function isWaitedFor(protocol: Protocol, { name }: Timer): boolean {
  return [...allSteps(protocol)].some((step) => step.kind === "wait-for" && step.timer === name);
}

function atLeast({ atLeast: bound }: Timer): number {
  return bound ? inBase(bound).valueOf() : 0;
}
