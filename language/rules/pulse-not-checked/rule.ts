import { insertBefore } from "../../model/text-changes.ts";
import { all, DRUG_GIVEN, not, PULSE_GONE } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { atStartOf, judgeOverRuns } from "../engine/over-runs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("inject", () => [{ when: all(not(PULSE_GONE), not(DRUG_GIVEN)) }]),
  judge: (context) =>
    judgeOverRuns(context, ({ origin }) => ({
      origin,
      what: "The injection can begin although nobody has looked whether the cuff has closed the arteries.",
      label: "the pulse is not checked",
      next: "Write `confirm no pulse` after the cuff is up and before this step: by hand, with the oximeter on the limb, or with Doppler.",
      repairs: insertBefore(origin, "confirm no pulse"),
    })),
};
