import type { Repair } from "@limbwright/shared/finding";
import type { Condition } from "@limbwright/shared/runtime";
import type { Protocol, Step } from "../../model/index.ts";
import {
  any,
  type BrokenCheck,
  CANNULA_IN,
  chosen,
  cuffNames,
  isFlat,
  noneUp,
  not,
  someUp,
  stepWords,
} from "../../runs/index.ts";
import { type Detected, type Rule, type RuleContext, together } from "../engine/definition.ts";
import { endingUnlessLeaked } from "../engine/needs.ts";
import { judgedOverRuns } from "../engine/over-runs.ts";
import {
  COLOUR_ATLAS,
  HANDBOOK_CHAPTER,
  IN_THIS_ORDER,
  MILLER_ARM,
  RCEM_2017,
} from "../facts/cuff-order-sources.ts";
import { areFlatText, areUpText, cuffsUpAfter } from "../facts/cuffs-in-run.ts";
import { stepAt } from "../facts/step-at.ts";
import { doneBefore, occludedBefore } from "../facts/step-repairs.ts";
import { stagesNotAround } from "./stages.ts";

const ID = "step-out-of-place";

export const rule: Rule = {
  id: ID,
  title: "Every step finds what it needs",
  group: "cuff",
  severity: "unsafe",
  why: "A step that cannot be done as it is written leaves the team to improvise, or is ticked off although nothing happened.",
  sources: [
    { ...MILLER_ARM, says: "the cannula in, the limb emptied, the cuff up, the pulse gone, the injection" },
    {
      ...COLOUR_ATLAS,
      says: "the cannula first, then the bandage, the cuff, the injection; the cannula out afterwards",
    },
    { ...HANDBOOK_CHAPTER, says: IN_THIS_ORDER },
    { ...RCEM_2017, says: IN_THIS_ORDER },
    {
      title: "What each step needs",
      seen: "common practice, no source",
      says: "a cuff is let down or felt only while it is up; nobody recovers behind a cuff",
    },
  ],
  watch:
    ({ cuffs }) =>
    (instant) => {
      const lacking = instant.kind === "start" ? lackingFor(instant.step, cuffs) : undefined;
      return lacking ? endingUnlessLeaked({ when: lacking }) : [];
    },
  judge: (context) =>
    together([
      judgedOverRuns(context, ID, (broken) => words(broken, context)),
      { found: stagesNotAround(context.protocol), undecided: [] },
    ]),
};

/** When a step does not find what it needs; undefined where it needs nothing, or where another rule asks. */
function lackingFor(step: Step, cuffs: readonly string[]): Condition | undefined {
  switch (step.kind) {
    case "inject":
      return not(CANNULA_IN);
    case "exsanguinate":
    case "recovery":
      return someUp(cuffs);
    case "deflate":
      return noneUp(chosen(step.cuffs, cuffs));
    case "confirm":
      return any(...chosen(step.cuffs, cuffs).map(isFlat));
    case "confirm-no-pulse":
      return noneUp(cuffs);
    default:
      return undefined;
  }
}

type Words = Pick<Detected, "what" | "label" | "next">;

function words({ origin, run }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  if (!step) throw new Error("a need was watched where no step is written");
  const up = cuffsUpAfter(run, protocol);
  return { origin, ...wordsFor(step, up, protocol), repairs: repairsFor(step, up, protocol) };
}

function wordsFor(step: Step, up: readonly string[], protocol: Protocol): Words {
  const actsOn = "cuffs" in step ? chosen(step.cuffs, cuffNames(protocol)) : [];
  const flat = actsOn.filter((cuff) => !up.includes(cuff));
  const says = `\`${stepWords(step)}\``;
  switch (step.kind) {
    case "inject":
      return {
        what: `${says} can begin while the cannula of the limb is out.`,
        label: "no cannula is in here",
        next: "Write `insert cannula` before it, or `remove cannula` only after the last injection.",
      };
    case "exsanguinate":
      return {
        what: `${says} can begin while ${areUpText(up)}: blood that is behind a cuff cannot leave the limb.`,
        label: "a cuff is up already",
        next: "Write it before the first `inflate`.",
      };
    case "recovery":
      return {
        what: `${says} can begin while ${areUpText(up)}.`,
        label: "a cuff is still up",
        next: "Write `deflate all` before it, on every way that leads here.",
      };
    case "deflate":
      return {
        what: `${says} can begin while ${areFlatText(actsOn)}.`,
        label: "flat already",
        next: "Name the cuff that is up here, inflate it before, or remove the step.",
      };
    case "confirm":
      return {
        what: `${says} can begin while ${areFlatText(flat)}.`,
        label: "nothing to confirm",
        next: "Write the `inflate` of that cuff before it, or name the cuff that is up.",
      };
    default:
      return {
        what: `${says} can begin while no cuff is up: the pulse is there because nothing stops it.`,
        label: "no cuff is up here",
        next: "Inflate and confirm a cuff before it.",
      };
  }
}

function repairsFor(step: Step, up: readonly string[], protocol: Protocol): Repair[] {
  switch (step.kind) {
    case "inject":
      return doneBefore(protocol, step.origin, "insert cannula");
    case "confirm": {
      const flat = chosen(step.cuffs, cuffNames(protocol)).filter((cuff) => !up.includes(cuff));
      return doneBefore(protocol, step.origin, ...flat.map((cuff) => `inflate ${cuff}`));
    }
    case "confirm-no-pulse":
      return occludedBefore(protocol, step.origin);
    default:
      return [];
  }
}
