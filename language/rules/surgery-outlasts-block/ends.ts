import type { Origin } from "@limbwright/shared/finding";
import { inBase } from "@limbwright/shared/quantity";
import { type Handler, innerSteps, type Protocol, type Step, stepsReached } from "../../model/index.ts";
import { type Decision, decisionsIn, type Reaching } from "./decisions.ts";

/** What ends the work in a stage whether it is finished or not: a timer, or the longest time of the stage. */
export type EndOfWork = {
  readonly origin: Origin;
  /** What the timer, or the time of the stage, shows then. */
  readonly at: number;
  /** Where somebody may decide before that on another anaesthetic. */
  readonly decisions: readonly Decision[];
} & (
  | { readonly kind: "cut"; readonly handler: Reaching }
  | { readonly kind: "longest"; readonly stage: Stage }
);

type Stage = Extract<Step, { readonly kind: "stage" }>;

/** Every end of work in a protocol; `action` is the longest time of an action. */
export function endsOfWork(protocol: Protocol, action: number): EndOfWork[] {
  const { steps = [], throughout, emergencies } = protocol;
  const lists = [steps, ...emergencies.map((emergency) => emergency.steps)];
  const stages = lists.flatMap((list) => [...stagesIn(list, throughout, throughout)]);
  return stages.filter(({ stage }) => hasWork(stage)).flatMap((one) => endsOf(one, protocol, action));
}

/** A stage with all that is in force there. */
interface StageInForce {
  readonly stage: Stage;
  readonly handlers: readonly Handler[];
}

/** The stages of some steps; `around` is in force there, and `throughout` in what handlers do. */
function* stagesIn(
  steps: readonly Step[],
  around: readonly Handler[],
  throughout: readonly Handler[],
): Generator<StageInForce> {
  for (const step of steps) {
    if (step.kind !== "stage") {
      for (const inner of innerSteps(step)) yield* stagesIn(inner, around, throughout);
      continue;
    }
    const handlers = [...step.handlers, ...around];
    yield { stage: step, handlers };
    yield* stagesIn(step.steps, handlers, throughout);
    for (const handler of step.handlers) yield* stagesIn(handler.steps, throughout, throughout);
  }
}

function endsOf({ stage, handlers }: StageInForce, protocol: Protocol, action: number): EndOfWork[] {
  const decisions = decisionsIn(handlers, protocol, action);
  const cuts = handlers.filter((one) => one.kind === "reaches").filter(endsTheWork);
  const longest = stage.takes?.longest?.valueOf();
  const { origin } = stage;
  return [
    ...cuts.map(
      (handler): EndOfWork => ({
        kind: "cut",
        handler,
        origin: handler.origin,
        at: inBase(handler.limit).valueOf(),
        decisions,
      }),
    ),
    ...(longest !== undefined && canOutlast(stage)
      ? [{ kind: "longest" as const, stage, origin, at: longest, decisions }]
      : []),
  ];
}

/** Whether something is done in a stage to the patient. */
function hasWork(stage: Stage): boolean {
  return worksIn(stage).length > 0;
}

/** Whether something of it may last longer than the stage. */
function canOutlast(stage: Stage): boolean {
  return worksIn(stage).some(({ takes }) => !takes?.longest);
}

function worksIn({ steps }: Stage): Step[] {
  return [...stepsReached(steps)].filter((step) => step.kind === "task" && step.topic === undefined);
}

function endsTheWork({ steps }: Handler): boolean {
  return [...stepsReached(steps)].some(
    ({ kind }) => kind === "end-stage" || kind === "go-to-emergency" || kind === "finish",
  );
}
