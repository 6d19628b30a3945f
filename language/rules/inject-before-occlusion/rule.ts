import { noneUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { endingUnlessLeaked } from "../engine/needs.ts";
import { judgedOverRuns } from "../engine/over-runs.ts";
import {
  HANDBOOK_CHAPTER,
  IN_THIS_ORDER,
  MILLER_ARM,
  PERIOPERATIVE_NURSING,
  PRACTICAL_PROCEDURES,
  RCEM_2017,
  TOURNIQUET_HAZARDS,
} from "../facts/cuff-order-sources.ts";
import { occludedBefore } from "../facts/step-repairs.ts";

const ID = "inject-before-occlusion";

export const rule: Rule = {
  id: ID,
  title: "The injection goes into a limb that is occluded",
  group: "cuff",
  severity: "unsafe",
  why: "Without a cuff the whole dose goes straight into the circulation.",
  sources: [
    { ...MILLER_ARM, says: "the limb emptied, the proximal cuff up, no radial pulse, then the injection" },
    { ...PRACTICAL_PROCEDURES, says: "the cuff up, no radial pulse, the veins empty, then the injection" },
    { ...HANDBOOK_CHAPTER, says: IN_THIS_ORDER },
    { ...PERIOPERATIVE_NURSING, says: IN_THIS_ORDER },
    { ...RCEM_2017, says: IN_THIS_ORDER },
    {
      ...TOURNIQUET_HAZARDS,
      says: "five deaths were reported; a tourniquet that is down soon after the injection lets the drug into the circulation in a high concentration",
    },
  ],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? endingUnlessLeaked({ when: noneUp(cuffs) })
        : [],
  judge: (context) =>
    judgedOverRuns(context, ID, ({ origin }) => ({
      repairs: occludedBefore(context.protocol, origin),
      origin,
      what: "The injection can begin while no cuff is up: it would go straight into the circulation.",
      label: "no cuff is up here",
      next: "Inflate and confirm a cuff before this step, on every way that leads to it.",
    })),
};
