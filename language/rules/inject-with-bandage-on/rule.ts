import { BANDAGE_ON } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { doneBefore } from "../facts/step-repairs.ts";
import { TAUGHT_ORDER } from "../sources/shared-citations.ts";

const ID = "inject-with-bandage-on";

export const rule: Rule<"runs"> = {
  id: ID,
  title: "The bandage is off before the injection",
  group: "cuff",
  severity: "unsafe",
  why: "A bandage that is on keeps the veins shut: what is injected finds no room, and can be pressed past the cuff.",
  sources: [
    { source: "colour-atlas", says: "the cuff up, the bandage off, no pulses, then the injection" },
    ...TAUGHT_ORDER,
    {
      source: "common-practice",
      says: "what a bandage does to the injection: the veins cannot fill, and the pressure in them rises",
    },
  ],
  needs: ["runs"],
  watch: () => (instant) =>
    instant.kind === "start" && instant.step.kind === "inject"
      ? endingUnlessLeaked({ when: BANDAGE_ON })
      : [],
  judge: (context) =>
    judgeOverRuns(context, ID, ({ origin }) => ({
      origin,
      what: "The injection can begin while the bandage is still on.",
      label: "the bandage is still on",
      next: "Write `remove bandage` before this step, after a cuff was confirmed.",
      repairs: doneBefore(context.protocol, origin, "remove bandage"),
    })),
};
