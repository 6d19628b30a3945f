import { listText } from "@limbwright/shared/text";
import {
  all,
  type BrokenCheck,
  DRUG_IN_LIMB,
  not,
  pickCuffs,
  someConfirmed,
  someUp,
  stepWords,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { atStartOf, judgeOverRuns } from "../engine/over-runs.ts";
import { cuffsUpAfter, stepAt } from "../facts/shown-run.ts";
import { repairByConfirming } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  // The drug is as dangerous behind an unconfirmed cuff while its toxicity is treated.
  watchesEmergencies: true,
  watch: atStartOf("deflate", ({ cuffs }, step) => {
    const deflated = pickCuffs(step.cuffs, cuffs);
    const others = cuffs.filter((cuff) => !deflated.includes(cuff));
    return [{ when: all(DRUG_IN_LIMB, someUp(deflated), someUp(others), not(someConfirmed(others))) }];
  }),
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
};

function words({ origin, run }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  const left = cuffsUpAfter(run, protocol);
  const names = left.map((cuff) => `\`confirm ${cuff}\``).join(" and ");
  return {
    origin,
    what: `After \`${step ? stepWords(step) : "deflate"}\` the only cuff up can be ${listText(left.map((cuff) => `\`${cuff}\``))}, with the drug behind it, though nobody has confirmed it since it came up.`,
    label: "onto a cuff that is not confirmed",
    next: `Write ${names} before it; where that fails, its \`else\` brings the cuff up and confirms it again, or does not come to this step.`,
    repairs: repairByConfirming(protocol, origin, left),
  };
}
