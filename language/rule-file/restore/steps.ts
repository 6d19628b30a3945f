import {
  type CuffChoice as FileCuffChoice,
  type Handler as FileHandler,
  type Step as FileStep,
  pointer,
} from "@limbwright/shared/rule-file";
import type { CuffChoice, Handler, Step, StepDetails } from "../../model/index.ts";
import type { Places } from "./places.ts";
import { durationFrom, quantityFrom } from "./values.ts";

export function stepsFrom(places: Places, steps: readonly FileStep[], path: string): Step[] {
  return steps.map((step, index) => {
    const where = pointer(path, index);
    return { ...stepFrom(places, step, where), ...detailsFrom(places, step, where) };
  });
}

export function handlersFrom(places: Places, handlers: readonly FileHandler[], path: string): Handler[] {
  return places.inTextOrder(handlers, path, (handler, where): Handler => {
    const origin = places.at(where);
    const steps = stepsFrom(places, handler.steps, pointer(where, "steps"));
    if (handler.kind === "reaches") {
      return {
        kind: "reaches",
        timer: handler.timer,
        limit: quantityFrom(handler.limit, origin),
        origin,
        steps,
      };
    }
    const { cuff, notBefore, times } = handler;
    return {
      kind: "event",
      event: handler.event,
      ...(cuff && { cuff: cuff.name }),
      ...(notBefore && { notBefore: quantityFrom(notBefore, origin) }),
      ...(times !== undefined && { times }),
      origin,
      steps,
    };
  });
}

export function cuffChoiceFrom({ all, on }: FileCuffChoice): CuffChoice {
  return all ? { kind: "all" } : { kind: "cuff", name: on[0]?.name ?? "" };
}

function detailsFrom(places: Places, { notes, roles, takes }: FileStep, path: string): StepDetails {
  const origin = places.at(path);
  return {
    origin,
    notes: notes ?? [],
    roles: roles ?? [],
    ...(takes && { takes: durationFrom(takes, origin) }),
  };
}

/** A step without what every step may carry. */
type Bare<S> = S extends Step ? Omit<S, keyof StepDetails> : never;

function stepFrom(places: Places, step: FileStep, path: string): Bare<Step> {
  const origin = places.at(path);
  switch (step.kind) {
    case "remove-cannula":
      return { kind: step.kind, ...(step.press && { press: durationFrom(step.press, origin) }) };
    case "exsanguinate": {
      const { kind, method, duration } = step;
      return { kind, method, ...(duration && { duration: durationFrom(duration, origin) }) };
    }
    case "inject":
    case "give":
      return { kind: step.kind, dose: step.dose };
    case "wait":
    case "watch":
    case "recovery":
      return { kind: step.kind, duration: durationFrom(step.duration, origin) };
    case "wait-for":
      return { kind: step.kind, timer: step.timer };
    case "task":
      return { kind: step.kind, ...(step.topic && { topic: step.topic }), text: step.text };
    case "inflate":
      return { kind: step.kind, cuffs: cuffChoiceFrom(step.cuffs) };
    case "deflate": {
      const flatFor = step.flatFor && quantityFrom(step.flatFor, origin);
      return { kind: step.kind, cuffs: cuffChoiceFrom(step.cuffs), ...(flatFor && { flatFor }) };
    }
    case "end-stage":
      return { kind: step.kind, ...(step.stage !== undefined && { stage: step.stage }) };
    case "go-to-emergency":
      return { kind: step.kind, emergency: step.emergency };
    case "confirm":
    case "stage":
    case "ask":
    case "repeat":
    case "do":
      return groupFrom(places, step, path);
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-bandage":
    case "confirm-no-pulse":
    case "finish":
      return { kind: step.kind };
  }
}

type Group = Extract<FileStep, { kind: "confirm" | "stage" | "ask" | "repeat" | "do" }>;

function groupFrom(places: Places, step: Group, path: string): Bare<Step> {
  const inner = (key: string, steps: readonly FileStep[]) => stepsFrom(places, steps, pointer(path, key));
  switch (step.kind) {
    case "confirm": {
      const otherwise = step.otherwise && inner("otherwise", step.otherwise);
      return { kind: step.kind, cuffs: cuffChoiceFrom(step.cuffs), ...(otherwise && { otherwise }) };
    }
    case "stage": {
      const handlers = handlersFrom(places, step.handlers, pointer(path, "handlers"));
      return { kind: step.kind, name: step.name, steps: inner("steps", step.steps), handlers };
    }
    case "ask":
      return {
        kind: step.kind,
        question: step.question,
        yes: inner("yes", step.yes),
        no: inner("no", step.no),
      };
    case "repeat":
      return { kind: step.kind, times: step.times, steps: inner("steps", step.steps) };
    case "do":
      return { kind: step.kind, routine: step.routine, steps: inner("steps", step.steps) };
  }
}
