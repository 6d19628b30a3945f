import { BANDAGE_ON } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { endingUnlessLeaked } from "../engine/needs.ts";
import { judgedOverRuns } from "../engine/over-runs.ts";
import {
  COLOUR_ATLAS,
  HANDBOOK_CHAPTER,
  IN_THIS_ORDER,
  PERIOPERATIVE_NURSING,
  RCEM_2017,
} from "../facts/cuff-order-sources.ts";
import { doneBefore } from "../facts/step-repairs.ts";

const ID = "inject-with-bandage-on";

export const rule: Rule = {
  id: ID,
  title: "The bandage is off before the injection",
  group: "cuff",
  severity: "unsafe",
  why: "A bandage that is on keeps the veins shut: what is injected finds no room, and can be pressed past the cuff.",
  sources: [
    { ...COLOUR_ATLAS, says: "the cuff up, the bandage off, no pulses, then the injection" },
    { ...HANDBOOK_CHAPTER, says: IN_THIS_ORDER },
    { ...PERIOPERATIVE_NURSING, says: IN_THIS_ORDER },
    { ...RCEM_2017, says: IN_THIS_ORDER },
    {
      title: "What a bandage does to the injection",
      seen: "common practice, no source",
      says: "the veins cannot fill, and the pressure in them rises",
    },
  ],
  watch: () => (instant) =>
    instant.kind === "start" && instant.step.kind === "inject"
      ? endingUnlessLeaked({ when: BANDAGE_ON })
      : [],
  judge: (context) =>
    judgedOverRuns(context, ID, ({ origin }) => ({
      origin,
      what: "The injection can begin while the bandage is still on.",
      label: "the bandage is still on",
      next: "Write `remove bandage` before this step, after a cuff was confirmed.",
      repairs: doneBefore(context.protocol, origin, "remove bandage"),
    })),
};
