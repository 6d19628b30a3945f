import type {
  Cuff as FileCuff,
  CuffChoice as FileCuffChoice,
  Handler as FileHandler,
  Step as FileStep,
} from "@limbwright/shared/rule-file";
import type { Cuff, CuffChoice, Handler, Step, StepDetails } from "../model/index.ts";
import type { Marks } from "./marks.ts";
import { fileDuration, fileQuantity, inFixedOrder } from "./values.ts";

/** What the steps of a file need to know of the protocol they belong to. */
export interface StepContext {
  readonly marks: Marks;
  readonly cuffs: readonly Cuff[];
}

export function stepParts(context: StepContext, steps: readonly Step[]): FileStep[] {
  return steps.map((step) =>
    context.marks.at({ ...stepPart(context, step), ...detailsPart(step) }, step.origin),
  );
}

export function handlerParts(context: StepContext, handlers: readonly Handler[]): FileHandler[] {
  return inFixedOrder(
    handlers.map((handler) => context.marks.at(handlerPart(context, handler), handler.origin)),
  );
}

export function cuffPart({ name, label }: Pick<Cuff, "name" | "label">): FileCuff {
  return { name, ...(label !== undefined && { label }) };
}

export function cuffChoicePart(cuffs: readonly Cuff[], choice: CuffChoice): FileCuffChoice {
  const on = choice.kind === "all" ? cuffs : cuffs.filter(({ name }) => name === choice.name);
  return { all: choice.kind === "all", on: on.map(cuffPart) };
}

function detailsPart({ notes, roles, takes }: StepDetails) {
  return {
    ...(notes.length > 0 && { notes: [...notes] }),
    ...(roles.length > 0 && { roles: [...roles] }),
    ...(takes && { takes: fileDuration(takes) }),
  };
}

function handlerPart(context: StepContext, handler: Handler): FileHandler {
  const steps = stepParts(context, handler.steps);
  if (handler.kind === "reaches") {
    return { kind: "reaches", timer: handler.timer, limit: fileQuantity(handler.limit), steps };
  }
  const cuff = context.cuffs.find(({ name }) => name === handler.cuff);
  return {
    kind: "event",
    event: handler.event,
    ...(cuff && { cuff: cuffPart(cuff) }),
    ...(handler.notBefore && { notBefore: fileQuantity(handler.notBefore) }),
    ...(handler.times !== undefined && { times: handler.times }),
    steps,
  };
}

function stepPart(context: StepContext, step: Step): FileStep {
  switch (step.kind) {
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-bandage":
    case "confirm-no-pulse":
    case "finish":
      return { kind: step.kind };
    case "remove-cannula":
      return { kind: step.kind, ...(step.press && { press: fileDuration(step.press) }) };
    case "exsanguinate": {
      const { kind, method, duration } = step;
      return { kind, method, ...(duration && { duration: fileDuration(duration) }) };
    }
    case "inject":
    case "give":
      return { kind: step.kind, dose: step.dose };
    case "wait":
    case "watch":
    case "recovery":
      return { kind: step.kind, duration: fileDuration(step.duration) };
    case "wait-for":
      return { kind: step.kind, timer: step.timer };
    case "task":
      return { kind: step.kind, ...(step.topic && { topic: step.topic }), text: step.text };
    case "inflate":
    case "deflate":
    case "confirm":
      return cuffStepPart(context, step);
    case "end-stage":
      return { kind: step.kind, ...(step.stage !== undefined && { stage: step.stage }) };
    case "go-to-emergency":
      return { kind: step.kind, emergency: step.emergency };
    case "stage":
    case "ask":
    case "repeat":
    case "do":
      return groupPart(context, step);
  }
}

type CuffStep = Extract<Step, { kind: "inflate" | "deflate" | "confirm" }>;

function cuffStepPart(context: StepContext, step: CuffStep): FileStep {
  const cuffs = cuffChoicePart(context.cuffs, step.cuffs);
  switch (step.kind) {
    case "inflate":
      return { kind: step.kind, cuffs };
    case "deflate":
      return { kind: step.kind, cuffs, ...(step.flatFor && { flatFor: fileQuantity(step.flatFor) }) };
    case "confirm": {
      const otherwise = step.otherwise && stepParts(context, step.otherwise);
      return { kind: step.kind, cuffs, ...(otherwise && { otherwise }) };
    }
  }
}

type Group = Extract<Step, { kind: "stage" | "ask" | "repeat" | "do" }>;

function groupPart(context: StepContext, step: Group): FileStep {
  switch (step.kind) {
    case "stage": {
      const { kind, name } = step;
      const handlers = handlerParts(context, step.handlers);
      return { kind, name, steps: stepParts(context, step.steps), handlers };
    }
    case "ask": {
      const { kind, question } = step;
      return { kind, question, yes: stepParts(context, step.yes), no: stepParts(context, step.no) };
    }
    case "repeat":
      return { kind: step.kind, times: step.times, steps: stepParts(context, step.steps) };
    case "do":
      return { kind: step.kind, routine: step.routine, steps: stepParts(context, step.steps) };
  }
}
