import { clockText, secondsText } from "@limbwright/shared/quantity";
import type { Protocol } from "../../model/index.ts";
import {
  all,
  type BrokenCheck,
  INFLATED,
  OCCLUSION,
  type Run,
  someUp,
  wholeEnvelope,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Judgement, undecided, type Words } from "../engine/judgement.ts";
import { ifReplayed, judgeOverRuns } from "../engine/over-runs.ts";
import {
  canLeaveAtLeak,
  canOverrunAtLeak,
  inLeaksWhere,
  judgeAlsoAfterLeak,
  timeAtLeak,
} from "../facts/leaving-at-leak.ts";
import { letsLastCuffDown } from "../facts/planned-release.ts";
import { placeOf, upToParameter } from "../facts/raised-parameter.ts";
import { cuffsUpAfter } from "../facts/shown-run.ts";
import { repairByEndingStage } from "../facts/stage-repairs.ts";
import { STATED } from "../generated/stated.ts";

/** All checks stand at one place, so that the whole protocol has one finding, with the best run of all. */
export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameter }) => {
    const seconds = parameter(longestOcclusion(protocol));
    const origin = protocol.nameOrigin;
    const isAsked = canLeaveAtLeak(protocol) || timeAtLeak(protocol) > 0;
    return (instant) => {
      if (instant.kind === "finish") {
        return inLeaksWhere(isAsked, [{ when: all(INFLATED, someUp(cuffs)), origin }]);
      }
      const last = letsLastCuffDown(instant, cuffs);
      const isOver = { clock: OCCLUSION, is: "over", seconds } as const;
      return last ? inLeaksWhere(isAsked, [{ when: all(INFLATED, last), clocks: [isOver], origin }]) : [];
    };
  },
  judge,
  upTo: upToParameter({ rule: STATED["occlusion-too-long"], parameter: longestOcclusion }),
};

const LEG = ["thigh", "calf", "ankle"];

function limbOf({ cuffs }: Protocol): "arm" | "leg" {
  return LEG.includes(cuffs?.place?.value ?? "") ? "leg" : "arm";
}

/** The name of the parameter that limits the occlusion of a protocol's limb. */
export function longestOcclusion(protocol: Protocol): string {
  return `maximum-${limbOf(protocol)}`;
}

function judge(context: RuleContext<"runs">): Judgement {
  const limb = limbOf(context.protocol);
  const longest = context.parameter(longestOcclusion(context.protocol));
  const most = secondsText(longest.value.valueOf());
  const { rule, protocol, runs } = context;
  const planned = wholeEnvelope(runs)?.occlusion?.longest;
  const isAsked = canLeaveAtLeak(protocol) || canOverrunAtLeak(protocol, planned, longest.value.valueOf());
  const words = ({ origin, run }: BrokenCheck) => {
    const last = run.steps.at(-1);
    const subject = placeOf(context.protocol);
    const place = { origin: last?.origin ?? origin, ...(subject !== undefined && { subject }) };
    return last?.kind === "finish"
      ? { ...place, ...neverDown() }
      : {
          ...place,
          ...tooLate(context, run, limb, most),
          limitUnit: "min",
          repairs: repairByEndingStage(context.protocol, place.origin, longest.value.valueOf()),
        };
  };
  const judgement = judgeAlsoAfterLeak(context, (each) => judgeOverRuns({ rule, runs: each }, words), {
    isAsked,
  });
  const isOpen = judgement.found.length > 0 || judgement.undecided.length > 0;
  if (isOpen) return judgement;
  return ifReplayed(() => (canStickWithCuffUp(context) ? undecided(STUCK) : judgement));
}

const STUCK = "a run can be stuck for ever with a cuff up, as `no-way-forward` tells; mend that first";

function canStickWithCuffUp({ protocol, runs }: RuleContext<"runs">): boolean {
  return (
    runs.kind === "explored" && runs.stuck.stuck.some(({ run }) => cuffsUpAfter(run, protocol).length > 0)
  );
}

function neverDown(): Words {
  return {
    what: "The cuffs are never let down: the protocol can end here with a cuff up.",
    label: "the end, with a cuff up",
    next: "Before it, write `wait for` a timer from the end of the injection, the release, and `recovery`.",
  };
}

function tooLate({ runs }: RuleContext<"runs">, { clocks }: Run, limb: string, most: string): Words {
  const longest = runs.kind === "explored" ? runs.envelope.occlusion?.longest : undefined;
  const stays = longest
    ? `The cuffs can stay up for ${clockText(Math.max(longest.seconds, clocks[OCCLUSION] ?? 0))}`
    : "Nothing limits how long the cuffs stay up";
  return {
    what: `${stays}; ${most} is the most for ${limb === "arm" ? "an arm" : "a leg"}.`,
    label: `later than ${most} after the first inflation`,
    next: `Give the stage before it an end, such as \`when … reaches\` a time, or its tasks a longest time, so that the release is over within ${most}.`,
  };
}
