import { all, type BrokenCheck, not, someConfirmed, someUp } from "../../runs/index.ts";
import type { Detected, Rule, RuleContext } from "../engine/definition.ts";
import { endingUnlessLeaked } from "../engine/needs.ts";
import { judgedOverRuns } from "../engine/over-runs.ts";
import {
  COLOUR_ATLAS,
  GUAY_2009,
  MILLER_ARM,
  PRACTICAL_PROCEDURES,
  TOURNIQUET_HAZARDS,
} from "../facts/cuff-order-sources.ts";
import { areUpText, cuffsUpAfter } from "../facts/cuffs-in-run.ts";
import { confirmedBefore } from "../facts/step-repairs.ts";

const ID = "inject-before-confirm";

export const rule: Rule = {
  id: ID,
  title: "The injection comes after a cuff was confirmed",
  group: "cuff",
  severity: "unsafe",
  why: "A cuff that was inflated may not hold: a leak, a clamped tube or the wrong cuff shows when somebody feels it and reads the gauge.",
  sources: [
    {
      ...MILLER_ARM,
      says: "absence of a radial pulse confirms that the pressure is enough; then the injection",
    },
    {
      ...PRACTICAL_PROCEDURES,
      says: "cuff checked for leaks first; once it is up no radial pulse and the veins stay empty",
    },
    { ...COLOUR_ATLAS, says: "both cuffs tried one after the other; no pulses once the proximal one is up" },
    {
      ...TOURNIQUET_HAZARDS,
      says: "malfunction and lack of inspection before use are among the causes of toxicity",
    },
    {
      ...GUAY_2009,
      says: "toxicity happened with the cuff inflated: a cuff that holds is no proof that the limb is closed off",
    },
    {
      title: "The cuff felt firm, the gauge on target and holding",
      seen: "common practice, no source",
      says: "what `confirm` stands for",
    },
  ],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? endingUnlessLeaked({ when: all(someUp(cuffs), not(someConfirmed(cuffs))) })
        : [],
  judge: (context) => judgedOverRuns(context, ID, (broken) => words(broken, context)),
};

function words({ origin, run }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const up = cuffsUpAfter(run, protocol);
  return {
    origin,
    what: `The injection can begin while ${areUpText(up)}, but not confirmed.`,
    label: "no cuff is confirmed here",
    next: `Write ${up.map((cuff) => `\`confirm ${cuff}\``).join(" or ")} after the inflation and before this step; \`confirm no pulse\` alone confirms no cuff.`,
    repairs: confirmedBefore(protocol, origin, up),
  };
}
