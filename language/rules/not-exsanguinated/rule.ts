import type { Repair } from "@limbwright/shared/finding";
import type { Protocol } from "../../model/index.ts";
import { insertBefore } from "../../model/text-changes.ts";
import { all, DRUG_GIVEN, EMPTIED, not, someUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? [{ when: all(someUp(cuffs), not(EMPTIED), not(DRUG_GIVEN)) }]
        : [],
  judge: (context) =>
    judgeOverRuns(context, ({ origin }) => ({
      origin,
      what: "The injection can begin in a limb that was never emptied of its blood.",
      label: "the limb is still full",
      next: "Write `exsanguinate by elevation 3 min`, or `exsanguinate by bandage`, before the first `inflate`.",
      repairs: exsanguinateFirst(context.protocol),
    })),
};

function exsanguinateFirst({ steps }: Protocol): Repair[] {
  const first = steps?.find(({ kind }) => kind === "inflate");
  return first ? insertBefore(first.origin, "exsanguinate by elevation 3 min") : [];
}
