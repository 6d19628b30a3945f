import { all, type BrokenCheck, not, someConfirmed, someUp } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { atStartOf, endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { areUpText, cuffsUpAfter } from "../facts/shown-run.ts";
import { repairByConfirming } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("inject", ({ cuffs }) =>
    endingUnlessLeaked({ when: all(someUp(cuffs), not(someConfirmed(cuffs))) }),
  ),
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
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
