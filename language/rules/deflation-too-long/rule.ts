import type { Repair } from "@limbwright/shared/finding";
import { clockText, durationText, inBase, secondsText } from "@limbwright/shared/quantity";
import type { Protocol, Step, WrittenQuantity } from "../../model/index.ts";
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
import type { Detected, Judgement } from "../engine/judgement.ts";
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

/** In seconds, as a staged release is mostly written. Common practice. */
const USUAL_DEFLATION = 10;

function judge(context: RuleContext<"runs">): Judgement {
  const maximum = context.parameter("maximum").value.valueOf();
  const longest = secondsText(maximum);
  return judgeOverRuns(context, ({ origin, run }) => {
    const flat = run.clocks[FLAT_TIME] ?? 0;
    const step = stepAt(context.protocol, origin);
    const written = step?.kind === "deflate" ? step.flatFor : undefined;
    return {
      origin,
      what: `A cuff can come up again only ${clockText(flat)} after the last one went down; ${longest} is the most in a staged release.`,
      label: `over ${longest} without a cuff`,
      ...(written
        ? flatForLess(written, flat, maximum)
        : { next: INFLATE_AT_ONCE, repairs: otherCuffFirst(context.protocol, run, step) }),
    };
  });
}

const INFLATE_AT_ONCE =
  "Inflate the cuff again at once after it was let down, or write `deflate all for 10 s`.";

/** What is left for being flat, where the cuff takes its time to come up again. */
function flatForLess(
  written: WrittenQuantity,
  flat: number,
  maximum: number,
): Pick<Detected, "next" | "repairs"> {
  const comingUp = flat - inBase(written).valueOf();
  const mayBeFlat = Math.min(USUAL_DEFLATION, maximum - comingUp);
  if (mayBeFlat > 0 && inBase(written).compare(mayBeFlat) > 0) {
    return {
      next: `Let the cuff down for ${secondsText(mayBeFlat)}. The time that it takes to come up again counts too.`,
      repairs: writeInstead(written.origin, secondsText(mayBeFlat)),
    };
  }
  return {
    next: `It is let down for ${durationText(inBase(written))}, and takes up to ${secondsText(comingUp)} to come up again: shorten that: the \`takes\` of this step, or a \`cuff-action-time\` that the local rules have lengthened.`,
  };
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
