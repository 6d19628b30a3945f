import type { Repair } from "@limbwright/shared/finding";
import type { Protocol } from "../../model/index.ts";
import { writtenBefore } from "../../model/text-changes.ts";
import { all, DRUG_GIVEN, EMPTIED, not, someUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { judgedOverRuns } from "../engine/over-runs.ts";
import {
  COLOUR_ATLAS,
  HANDBOOK_CHAPTER,
  IN_THIS_ORDER,
  MILLER_ARM,
  PERIOPERATIVE_NURSING,
  PRACTICAL_PROCEDURES,
  RCEM_2017,
} from "../facts/cuff-order-sources.ts";

const ID = "not-exsanguinated";

export const rule: Rule = {
  id: ID,
  title: "The limb is emptied before it is occluded",
  group: "cuff",
  severity: "doubtful",
  why: "Blood that stays in the limb thins the drug and leaves less room for it: the block is patchy, and the pressure in the veins higher.",
  sources: [
    { ...PRACTICAL_PROCEDURES, says: "elevation for 2 to 3 min, in preference to a bandage, which hurts" },
    { ...COLOUR_ATLAS, says: "elevation, then a bandage from distal to proximal" },
    { ...MILLER_ARM, says: "exsanguination of the arm, then the proximal cuff up" },
    { ...HANDBOOK_CHAPTER, says: IN_THIS_ORDER },
    { ...PERIOPERATIVE_NURSING, says: IN_THIS_ORDER },
    { ...RCEM_2017, says: IN_THIS_ORDER },
    {
      title: "British Orthopaedic Association standard (BOAST 2021)",
      address: "https://boa.ac.uk/resources/boast-the-safe-use-of-intraoperative-tourniquets.html",
      seen: "passage read",
      says: "no bandage with infection, malignancy or a risk of thrombosis: then elevation",
    },
    {
      title: "What blood that stays in the limb does to the block",
      seen: "common practice, no source",
      says: "it thins the drug and takes its room",
    },
  ],
  watch:
    ({ cuffs }) =>
    (instant) =>
      instant.kind === "start" && instant.step.kind === "inject"
        ? [{ when: all(someUp(cuffs), not(EMPTIED), not(DRUG_GIVEN)) }]
        : [],
  judge: (context) =>
    judgedOverRuns(context, ID, ({ origin }) => ({
      origin,
      what: "The injection can begin in a limb that was never emptied of its blood.",
      label: "the limb is still full",
      next: "Write `exsanguinate by elevation 3 min`, or `exsanguinate by bandage`, before the first `inflate`.",
      repairs: emptiedFirst(context.protocol),
    })),
};

function emptiedFirst({ steps }: Protocol): Repair[] {
  const first = steps?.find(({ kind }) => kind === "inflate");
  return first ? writtenBefore(first.origin, "exsanguinate by elevation 3 min") : [];
}
