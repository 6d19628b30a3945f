import type { Origin } from "@limbwright/shared/finding";
import type { Action, Emergency, Handler, Step } from "../../model/index.ts";
import { handlerWords, stepWords } from "../../runs/index.ts";
import type { Detected } from "../engine/judgement.ts";
import { actionWords } from "../facts/action-words.ts";

/** The first step of a list that no run comes to, with how many stand after it. */
export function stepNever(step: Step, following: number): Detected {
  const rest =
    following === 0
      ? ""
      : following === 1
        ? ", nor to the step after it"
        : `, nor to the ${following} steps after it`;
  return {
    origin: step.origin,
    what: `No run comes to \`${stepWords(step)}\`${rest}.`,
    label: "never reached",
    next: "Remove it, or change what stands before it so that some run gets here.",
  };
}

export function handlerNever(handler: Handler): Detected {
  return {
    origin: handler.origin,
    what: `\`when ${handlerWords(handler)}\` can never happen here.`,
    label: "never happens",
    next:
      handler.kind === "reaches"
        ? `Name a time that \`${handler.timer}\` can reach while this is in force, or remove it.`
        : "Let the stage last until it can happen, or remove it.",
  };
}

export function notEntered({ name, nameOrigin }: Emergency): Detected {
  return {
    origin: nameOrigin,
    what: `No step leads to the emergency \`${name}\`.`,
    label: "never entered",
    next: `Write a \`when\` that goes to it, such as \`when toxicity-signs { go to emergency ${name} }\`, or remove it.`,
  };
}

export function noStepDoes(action: Action, title: string, origin: Origin): Detected {
  return {
    origin,
    what: `${title === "" ? "This requirement" : `"${title}"`} asks something of \`${actionWords(action)}\`, which no step does.`,
    label: "about what is never done",
    next: "Name an action of this protocol, or remove the requirement.",
  };
}
