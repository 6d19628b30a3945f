import { inBase, secondsText } from "@limbwright/shared/quantity";
import { type Handler, type Protocol, type Step, stepsReached, stepsWithin } from "../../model/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = { judge };

function judge({ protocol, parameter }: RuleContext): Judgement {
  const notice = parameter("notice").value.valueOf();
  const detected = stagesWithWork(protocol).flatMap((stage) => [
    ...stage.cuts.flatMap((cut) => judgeCut(cut, stage.handlers, notice)),
    ...judgeEnd(stage, notice),
  ]);
  const once = [...new Map(detected.map((one) => [JSON.stringify(one.origin), one])).values()];
  if (once.length > 0) return found(...once);
  return protocol.incomplete ? undecided("part of the steps was not understood") : HOLDS;
}

type Stage = Extract<Step, { readonly kind: "stage" }>;
type Reaching = Extract<Handler, { readonly kind: "reaches" }>;

/** A stage in which something is done to the patient, with what may end it whether that is finished or not. */
interface StageWithWork {
  readonly stage: Stage;
  /** What is in force there. */
  readonly handlers: readonly Handler[];
  readonly cuts: readonly Reaching[];
}

function stagesWithWork({ steps = [], throughout, emergencies }: Protocol): StageWithWork[] {
  const lists = [steps, ...emergencies.map((emergency) => emergency.steps)];
  const stages = lists.flatMap((list) => [...stepsWithin(list)]).filter((step) => step.kind === "stage");
  return stages.filter(hasWork).map((stage) => {
    const handlers = [...stage.handlers, ...throughout];
    const cuts = handlers.filter((one) => one.kind === "reaches").filter(endsTheWork);
    return { stage, handlers, cuts };
  });
}

function hasWork({ steps }: Stage): boolean {
  return [...stepsReached(steps)].some((step) => step.kind === "task" && step.topic === undefined);
}

function endsTheWork({ steps }: Handler): boolean {
  return [...stepsReached(steps)].some(
    ({ kind }) => kind === "end-stage" || kind === "go-to-emergency" || kind === "finish",
  );
}

/** Whether some decision on another anaesthetic comes early enough, and whose it is. */
function judgeCut({ timer, limit, origin }: Reaching, handlers: readonly Handler[], notice: number): Detected[] {
  const end = inBase(limit).valueOf();
  const inTime = handlers
    .filter((one) => one.kind === "reaches" && one.timer === timer && inBase(one.limit).valueOf() <= end - notice)
    .flatMap(decisionsIn);
  if (inTime.some(isSomebodys)) return [];
  const at = `${timer} reaches ${secondsText(end)}`;
  const line = `when ${timer} reaches ${secondsText(Math.max(0, end - notice))} { task anaesthetic-decision "…" by "…" }`;
  return [
    inTime.length > 0
      ? {
          origin,
          what: `The work ends when ${at}, finished or not; who decides on another anaesthetic before that is not said.`,
          label: "nobody is named who decides",
          next: 'Write the role behind the decision, such as `by "anaesthetist"`.',
        }
      : {
          origin,
          what: `The work ends when ${at}, finished or not, and nothing asks ${secondsText(notice)} before that whether it will be done in time.`,
          label: "no decision in good time",
          next: `Write \`${line}\` in the same stage: which anaesthetic takes over when the work takes longer, and who decides.`,
        },
  ];
}

/** The longest time of a stage ends the work just as well. */
function judgeEnd({ stage, handlers }: StageWithWork, notice: number): Detected[] {
  const longest = stage.takes?.longest?.valueOf();
  const canOutlast = [...stepsReached(stage.steps)].some(
    (step) => step.kind === "task" && step.topic === undefined && !step.takes?.longest,
  );
  if (longest === undefined || !canOutlast || handlers.flatMap(decisionsIn).some(isSomebodys)) return [];
  return [
    {
      origin: stage.origin,
      what: `\`${stage.name}\` ends after ${secondsText(longest)}, whether the work is finished or not, and nothing asks in good time whether it will be done.`,
      label: "no decision in good time",
      next: `Write \`when … reaches … { task anaesthetic-decision "…" by "…" }\` in it, ${secondsText(notice)} before its end: which anaesthetic takes over when the work takes longer, and who decides.`,
    },
  ];
}

function decisionsIn({ steps }: Handler): Step[] {
  return [...stepsReached(steps)].filter(
    (step) => step.kind === "task" && step.topic === "anaesthetic-decision",
  );
}

function isSomebodys({ roles }: Step): boolean {
  return roles.length > 0;
}
