import { durationText } from "@limbwright/shared/quantity";
import { type BrokenCheck, cuffNames, type Instant, pickCuffs, stepWords } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { parametersFor } from "../engine/parameters.ts";
import { emergencyReleases, whyNoEmergencyRelease } from "../facts/emergency-release.ts";
import { isPlannedRelease, releaseBefore, releaseTimeText } from "../facts/planned-release.ts";
import { cuffsText, stepAt } from "../facts/shown-run.ts";
import { repairByOtherCuffFirst } from "../facts/step-repairs.ts";
import { STATED } from "../generated/stated.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameterOf }) => {
    const isForEmergency = emergencyReleases(protocol);
    return (instant) => {
      const minimum = parameterOf("early-release", "minimum");
      if (instant.kind === "leak") return releaseBefore(minimum, instant.cuffs, cuffs);
      if (isIntoOtherLimb(instant)) return [{ endsRun: true }];
      if (instant.kind !== "start" || instant.step.kind !== "deflate" || isPlannedRelease(instant)) return [];
      if (isForEmergency(instant)) return [];
      const deflated = pickCuffs(instant.step.cuffs, cuffs);
      return releaseBefore(minimum, deflated, cuffs).flatMap((check) => endingUnlessLeaked(check));
    };
  },
  watchesEmergencies: true,
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
};

/** The single fault of taking the wrong line: no cuff is between the drug and the body. */
function isIntoOtherLimb(instant: Instant): boolean {
  return instant.kind === "start" && instant.step.kind === "inject" && instant.step.intoOtherLimb === true;
}

function words({ origin, run }: BrokenCheck, { rule, protocol }: RuleContext): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  const says = step ? stepWords(step) : "this step";
  const minimum = parametersFor(STATED["early-release"], protocol.localRules)("minimum");
  const from = minimum.isLocal ? minimum.from : `the standard of \`early-release\``;
  const isInEmergency = run.variables.emergency === 1;
  const deflated = step?.kind === "deflate" ? pickCuffs(step.cuffs, cuffNames(protocol)) : [];
  const others = cuffNames(protocol).filter((cuff) => !deflated.includes(cuff));
  return {
    origin,
    what: `\`${says}\` leaves no cuff up ${releaseTimeText(run, minimum.value.valueOf())}.`,
    label: "no cuff is up from here",
    why: `The drug has to stay behind a cuff for ${durationText(minimum.value)} after the injection (${from}). ${rule.why}`,
    next: whyNoEmergencyRelease(step) ?? nextFor(isInEmergency, others, says),
    repairs: isInEmergency ? [] : repairByOtherCuffFirst(protocol, origin),
  };
}

function nextFor(isInEmergency: boolean, others: readonly string[], says: string): string {
  if (isInEmergency) return IN_EMERGENCY;
  return others.length > 0 ? anotherFirst(others, says) : TO_THE_STEPS;
}

const IN_EMERGENCY =
  "Leave the cuff up here; write `task cuff-decision`, and let the anaesthetist in charge decide on the release. Where limb or life needs it, `deflate all for emergency` says so, with who decides.";

const TO_THE_STEPS =
  "Let no cuff down here: end the stage, and leave the release to `steps`, after a `wait for` that reaches the minimum.";

function anotherFirst(others: readonly string[], says: string): string {
  return `Inflate and confirm ${cuffsText(others)} before \`${says}\`.`;
}
