import { BANDAGE_ON } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { atStartOf, endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { doneBefore } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("inject", () => endingUnlessLeaked({ when: BANDAGE_ON })),
  judge: (context) =>
    judgeOverRuns(context, ({ origin }) => ({
      origin,
      what: "The injection can begin while the bandage is still on.",
      label: "the bandage is still on",
      next: "Write `remove bandage` before this step, after a cuff was confirmed.",
      repairs: doneBefore(context.protocol, origin, "remove bandage"),
    })),
};
