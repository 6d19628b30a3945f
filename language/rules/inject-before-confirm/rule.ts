import { all, type BrokenCheck, not, someConfirmed, someUp } from "../../runs/index.ts";
import type { Detected, Rule, RuleContext } from "../engine/definition.ts";
import { endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { areUpText, cuffsUpAfter } from "../facts/shown-run.ts";
import { repairByConfirming } from "../facts/step-repairs.ts";

const ID = "inject-before-confirm";

export const rule: Rule<"runs"> = {
  id: ID,
  title: "The injection comes after a cuff was confirmed",
  group: "cuff",
  severity: "unsafe",
  why: "A cuff that was inflated may not hold: a leak, a clamped tube or the wrong cuff shows when somebody feels it and reads the gauge.",
  sources: [
    {
      source: "miller-block",
      says: "absence of a radial pulse confirms that the pressure is enough; then the injection",
    },
    {
      source: "emergency-handbook",
      says: "the cuff is checked for leaks first; once it is up there is no radial pulse and the veins stay empty",
    },
    {
      source: "colour-atlas",
      says: "both cuffs tried one after the other; no pulses once the proximal one is up",
    },
    {
      source: "tourniquet-hazards",
      says: "malfunction and lack of inspection before use are among the causes of toxicity",
    },
    {
      source: "guay-2009",
      says: "toxicity happened with the cuff inflated, at more than 150 mmHg over the systolic pressure: a cuff that holds is no proof that the limb is closed off",
    },
    {
      source: "common-practice",
      says: "the cuff felt firm, the gauge on target and holding, as what `confirm` stands for",
    },
  ],
  needs: ["runs"],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? endingUnlessLeaked({ when: all(someUp(cuffs), not(someConfirmed(cuffs))) })
        : [],
  judge: (context) => judgeOverRuns(context, ID, (broken) => words(broken, context)),
};

function words({ origin, run }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const up = cuffsUpAfter(run, protocol);
  return {
    origin,
    what: `The injection can begin while ${areUpText(up)}, but not confirmed.`,
    label: "no cuff is confirmed here",
    next: `Write ${up.map((cuff) => `\`confirm ${cuff}\``).join(" or ")} after the inflation and before this step; \`confirm no pulse\` alone confirms no cuff.`,
    repairs: repairByConfirming(protocol, origin, up),
  };
}
