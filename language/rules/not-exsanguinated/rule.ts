import type { Repair } from "@limbwright/shared/finding";
import type { Protocol } from "../../model/index.ts";
import { insertBefore } from "../../model/text-changes.ts";
import { all, DRUG_GIVEN, EMPTIED, not, someUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { TAUGHT_ORDER } from "../sources/shared-citations.ts";

const ID = "not-exsanguinated";

export const rule: Rule<"runs"> = {
  id: ID,
  title: "The limb is emptied before it is occluded",
  group: "cuff",
  severity: "doubtful",
  why: "Blood that stays in the limb thins the drug and leaves less room for it: the block is patchy, and the pressure in the veins higher.",
  sources: [
    {
      source: "emergency-handbook",
      says: "elevation for 2 to 3 min, in preference to a bandage, which hurts",
    },
    { source: "colour-atlas", says: "both cuffs tried, elevation, then a bandage from distal to proximal" },
    { source: "miller-block", says: "exsanguination of the arm, then the proximal cuff up" },
    ...TAUGHT_ORDER,
    {
      source: "boast-2021",
      says: "no bandage with infection, malignancy or a risk of thrombosis: then elevation",
    },
    {
      source: "common-practice",
      says: "what blood that stays in the limb does to the block: it thins the drug and takes its room",
    },
  ],
  needs: ["runs"],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? [{ when: all(someUp(cuffs), not(EMPTIED), not(DRUG_GIVEN)) }]
        : [],
  judge: (context) =>
    judgeOverRuns(context, ID, ({ origin }) => ({
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
