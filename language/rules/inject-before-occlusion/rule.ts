import { noneUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { repairByOccluding } from "../facts/step-repairs.ts";
import { TAUGHT_ORDER } from "../sources/shared-citations.ts";

const ID = "inject-before-occlusion";

export const rule: Rule<"runs"> = {
  id: ID,
  title: "The injection goes into a limb that is occluded",
  group: "cuff",
  severity: "unsafe",
  why: "Without a cuff the whole dose goes straight into the circulation.",
  sources: [
    {
      source: "miller-block",
      says: "the limb emptied, the proximal cuff up, no radial pulse, then the injection",
    },
    {
      source: "emergency-handbook",
      says: "the cuff up, no radial pulse, the veins empty, then the injection",
    },
    ...TAUGHT_ORDER,
    {
      source: "tourniquet-hazards",
      says: "five deaths were reported; a tourniquet that is down soon after the injection lets the drug into the circulation in a high concentration",
    },
  ],
  needs: ["runs"],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? endingUnlessLeaked({ when: noneUp(cuffs) })
        : [],
  judge: (context) =>
    judgeOverRuns(context, ID, ({ origin }) => ({
      repairs: repairByOccluding(context.protocol, origin),
      origin,
      what: "The injection can begin while no cuff is up: it would go straight into the circulation.",
      label: "no cuff is up here",
      next: "Inflate and confirm a cuff before this step, on every way that leads to it.",
    })),
};
