import { eachPlaceOnce, type Origin, type Repair } from "@limbwright/shared/finding";
import { type Condition, isEmergency } from "@limbwright/shared/runtime";
import {
  allHandlers,
  type Handler,
  innerSteps,
  type Protocol,
  type Step,
  stepsWithin,
} from "../../model/index.ts";
import { needsALook, wordsAfter } from "../../model/text-changes.ts";
import {
  any,
  type BrokenCheck,
  CANNULA_IN,
  cuffNames,
  handlerWords,
  isFlat,
  noneUp,
  not,
  pickCuffs,
  type Run,
  someUp,
  stepWords,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, type Words } from "../engine/judgement.ts";
import { endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";
import { areFlatText, areUpText, cuffsUpAfter, isSamePlace, stepAt } from "../facts/shown-run.ts";
import { doneBefore, listsOfSteps, repairByOccluding } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watchesEmergencies: true,
  watch:
    ({ cuffs }) =>
    (instant) => {
      if (instant.kind !== "start") return [];
      const lacking = needOf(instant.step)?.lacking(instant.step, cuffs);
      // A treatment may do what it needs, but squeezes no drug out of the limb; whatever it does is judged to its end.
      if (isEmergency(instant.phase)) {
        return lacking && instant.step.kind === "exsanguinate" ? [{ when: lacking }] : [];
      }
      return lacking ? endingUnlessLeaked({ when: lacking }) : [];
    },
  judge: (context) =>
    combine([
      judgeOverRuns(context, (broken) => words(broken, context)),
      { found: stagesNotAround(context.protocol), undecided: [] },
    ]),
};

interface Need<S> {
  /** When a step does not find what it needs. */
  readonly lacking: (step: S, cuffs: readonly string[]) => Condition;
  readonly words: (lack: Lack<S>) => Words;
  readonly repairs: (lack: Lack<S>) => Repair[];
}

/** A step that did not find what it needs. */
interface Lack<S> {
  readonly step: S;
  readonly says: string;
  /** The cuffs that are up. */
  readonly up: readonly string[];
  readonly protocol: Protocol;
}

type NeedyKind = "inject" | "exsanguinate" | "recovery" | "deflate" | "confirm" | "confirm-no-pulse";

/** What this rule asks of the steps; the others need nothing, or another rule asks for it. */
const NEEDS: { readonly [Kind in NeedyKind]: Need<Extract<Step, { readonly kind: Kind }>> } = {
  inject: {
    lacking: () => not(CANNULA_IN),
    words: ({ says }) => ({
      what: `${says} can begin while the cannula of the limb is out.`,
      label: "no cannula is in here",
      next: "Write `insert cannula` before it, or `remove cannula` only after the last injection.",
    }),
    repairs: ({ step, protocol }) => doneBefore(protocol, step.origin, "insert cannula"),
  },
  exsanguinate: {
    lacking: (_, cuffs) => someUp(cuffs),
    words: ({ says, up }) => ({
      what: `${says} can begin while ${areUpText(up)}: blood that is behind a cuff cannot leave the limb.`,
      label: "a cuff is up already",
      next: "Write it before the first `inflate`.",
    }),
    repairs: () => [],
  },
  recovery: {
    lacking: (_, cuffs) => someUp(cuffs),
    words: ({ says, up }) => ({
      what: `${says} can begin while ${areUpText(up)}.`,
      label: "a cuff is still up",
      next: "Write `deflate all` before it, on every way that leads here.",
    }),
    repairs: () => [],
  },
  deflate: {
    // Where limb or life is at risk, whatever is up comes down, and nobody is the worse for a cuff that is flat already.
    lacking: (step, cuffs) => (step.forEmergency ? any() : noneUp(pickCuffs(step.cuffs, cuffs))),
    words: ({ says, step, protocol }) => ({
      what: `${says} can begin while ${areFlatText(pickCuffs(step.cuffs, cuffNames(protocol)))}.`,
      label: "flat already",
      next: "Name the cuff that is up here, inflate it before, or remove the step.",
    }),
    repairs: () => [],
  },
  confirm: {
    lacking: (step, cuffs) => any(...pickCuffs(step.cuffs, cuffs).map(isFlat)),
    words: (lack) => ({
      what: `${lack.says} can begin while ${areFlatText(flatOf(lack))}.`,
      label: "nothing to confirm",
      next: "Write the `inflate` of that cuff before it, or name the cuff that is up.",
    }),
    repairs: (lack) =>
      doneBefore(lack.protocol, lack.step.origin, ...flatOf(lack).map((cuff) => `inflate ${cuff}`)),
  },
  "confirm-no-pulse": {
    lacking: (_, cuffs) => noneUp(cuffs),
    words: ({ says }) => ({
      what: `${says} can begin while no cuff is up: the pulse is there because nothing stops it.`,
      label: "no cuff is up here",
      next: "Inflate and confirm a cuff before it.",
    }),
    repairs: ({ step, protocol }) => repairByOccluding(protocol, step.origin),
  },
};

function flatOf({ step, up, protocol }: Lack<Extract<Step, { readonly kind: "confirm" }>>): string[] {
  return pickCuffs(step.cuffs, cuffNames(protocol)).filter((cuff) => !up.includes(cuff));
}

function needOf(step: Step): Need<Step> | undefined {
  return step.kind in NEEDS ? (NEEDS[step.kind as NeedyKind] as unknown as Need<Step>) : undefined;
}

function words({ origin, run }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  const need = step && needOf(step);
  if (!need) throw new Error("a need was watched where no step is written");
  const lack = { step, says: `\`${stepWords(step)}\``, up: cuffsUpAfter(run, protocol), protocol };
  const again = cameAgain(protocol, step, run);
  return again
    ? { origin, ...need.words(lack), ...onlyOnce(again) }
    : { origin, ...need.words(lack), repairs: need.repairs(lack) };
}

type EventHandler = Handler & { readonly kind: "event" };

/** The answer around a step, where the shown run has come to it before: it leaves things otherwise than it needs them. */
function cameAgain(protocol: Protocol, step: Step, run: Run): EventHandler | undefined {
  const isAround = ({ steps }: Handler) => [...stepsWithin(steps)].some((one) => one === step);
  const handler = allHandlers(protocol).find(isAround);
  if (handler?.kind !== "event" || handler.times !== undefined) return undefined;
  const comings = run.steps.filter(
    ({ kind, origin }) => kind === "event" && origin && isSamePlace(origin, handler.origin),
  );
  return comings.length > 1 ? handler : undefined;
}

function onlyOnce(handler: EventHandler): Pick<Detected, "next" | "repairs"> {
  const words = `when ${handlerWords(handler)}`;
  return {
    next: `Write \`${words} once\`, or undo at its end what it did: it can come again, and finds things as it has left them.`,
    repairs: needsALook(`Write ${words} once`, wordsAfter(handler.origin, "once")),
  };
}

/**
 * Every `end stage` that names a stage which is not around it. Nothing ends there: whoever follows the
 * protocol just goes on, so no run shows it.
 */
function stagesNotAround(protocol: Protocol): Detected[] {
  const ends = listsOfSteps(protocol).flatMap((steps) => endsWithin(steps, []));
  // A routine that is done in several places is written once.
  return eachPlaceOnce(ends).map(tellStrayEnd);
}

interface StrayEnd {
  readonly origin: Origin;
  readonly stage: string;
  /** The innermost stage that is around. */
  readonly around?: string;
}

function endsWithin(steps: readonly Step[], around: readonly string[]): StrayEnd[] {
  return steps.flatMap((step) => endsIn(step, around));
}

function endsIn(step: Step, around: readonly string[]): StrayEnd[] {
  if (step.kind === "end-stage") {
    const { stage, origin } = step;
    const innermost = around.at(-1);
    if (stage === undefined || around.includes(stage)) return [];
    return [{ origin, stage, ...(innermost !== undefined && { around: innermost }) }];
  }
  const inside = step.kind === "stage" ? [...around, step.name] : around;
  return innerSteps(step).flatMap((list) => endsWithin(list, inside));
}

function tellStrayEnd({ origin, stage, around }: StrayEnd): Detected {
  return {
    origin,
    what: `\`end stage ${stage}\` stands outside the stage \`${stage}\`: nothing ends here, and the team goes on with the next step.`,
    label: `not inside ${stage}`,
    next:
      around === undefined
        ? `Move it into \`stage ${stage} { … }\`, or remove it.`
        : `Write \`end stage\` to end \`${around}\`, or move it into \`stage ${stage} { … }\`.`,
  };
}
