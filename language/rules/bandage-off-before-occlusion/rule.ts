import { type BrokenCheck, not, someConfirmed } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { atStartOf, endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { areUpText, cuffsUpAfter } from "../facts/shown-run.ts";
import { repairByConfirming, repairByOccluding } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("remove-bandage", ({ cuffs }) => endingUnlessLeaked({ when: not(someConfirmed(cuffs)) })),
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
};

function words({ origin, run }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const up = cuffsUpAfter(run, protocol);
  if (up.length === 0) {
    return {
      origin,
      what: "The bandage comes off while no cuff is up, and the limb fills again.",
      label: "no cuff is up yet",
      next: "Inflate and confirm a cuff before `remove bandage`.",
      repairs: repairByOccluding(protocol, origin),
    };
  }
  return {
    origin,
    what: `The bandage comes off while ${areUpText(up)}, but not confirmed: nobody has felt that it holds.`,
    label: "no cuff is confirmed yet",
    next: `Write ${up.map((cuff) => `\`confirm ${cuff}\``).join(" or ")} before \`remove bandage\`.`,
    repairs: repairByConfirming(protocol, origin, up),
  };
}
