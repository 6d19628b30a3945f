import { noneUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { atStartOf, endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { repairByOccluding } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("inject", ({ cuffs }) => endingUnlessLeaked({ when: noneUp(cuffs) })),
  judge: (context) =>
    judgeOverRuns(context, ({ origin }) => ({
      repairs: repairByOccluding(context.protocol, origin),
      origin,
      what: "The injection can begin while no cuff is up: it would go straight into the circulation.",
      label: "no cuff is up here",
      next: "Inflate and confirm a cuff before this step, on every way that leads to it.",
    })),
};
