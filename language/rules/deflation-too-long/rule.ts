import type { Repair } from "@limbwright/shared/finding";
import { clockText, secondsText } from "@limbwright/shared/quantity";
import type { Protocol, Step } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import {
  all,
  cuffNames,
  DRUG_GIVEN,
  FLAT_TIME,
  type Instant,
  noneUp,
  pickCuffs,
  type Run,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Judgement } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { lastBegun, stepAt } from "../facts/shown-run.ts";
import { repairByOtherCuffFirst } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch:
    ({ cuffs, parameter }) =>
    (instant) =>
      bringsCuffUp(instant)
        ? [
            {
              when: all(DRUG_GIVEN, { variable: "deflations", atLeast: 1 }, noneUp(cuffs)),
              clocks: [{ clock: FLAT_TIME, is: "over", seconds: parameter("maximum") }],
            },
          ]
        : [],
  judge,
};

/** A cuff is up when its inflation ends; `deflate … for` ends with one. */
function bringsCuffUp(instant: Instant): boolean {
  if (instant.kind !== "end") return false;
  const { step } = instant;
  return step.kind === "inflate" || (step.kind === "deflate" && step.flatFor !== undefined);
}

function judge(context: RuleContext<"runs">): Judgement {
  const longest = secondsText(context.parameter("maximum").value.valueOf());
  return judgeOverRuns(context, ({ origin, run }) => {
    const flatFor = clockText(run.clocks[FLAT_TIME] ?? 0);
    const step = stepAt(context.protocol, origin);
    return {
      origin,
      repairs:
        step?.kind === "deflate" && step.flatFor
          ? writeInstead(step.flatFor.origin, "10 s")
          : otherCuffFirst(context.protocol, run, step),
      what: `A cuff can come up again only ${flatFor} after the last one went down; ${longest} is the most in a staged release.`,
      label: `over ${longest} without a cuff`,
      next:
        run.steps.at(-1)?.step?.kind === "deflate"
          ? "Let the cuff down for 10 s. The time that it takes to come up again counts too."
          : "Inflate the cuff again at once after it was let down, or write `deflate all for 10 s`.",
    };
  });
}

/** Where one cuff was let down for the other to come up: the other way round. */
function otherCuffFirst(protocol: Protocol, run: Run, step: Step | undefined): Repair[] {
  const deflation = lastBegun(run, "deflate")?.origin;
  const names = cuffNames(protocol);
  const down = deflation && stepAt(protocol, deflation);
  if (step?.kind !== "inflate" || down?.kind !== "deflate" || !deflation) return [];
  const comingUp = pickCuffs(step.cuffs, names);
  const isSame = pickCuffs(down.cuffs, names).some((cuff) => comingUp.includes(cuff));
  return isSame ? [] : repairByOtherCuffFirst(protocol, deflation);
}
