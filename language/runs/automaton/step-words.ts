import { durationText, inBase } from "@limbwright/shared/quantity";
import type { CuffChoice, Duration, Handler, Step } from "../../model/index.ts";

/** A step in the words of the language, without its notes: "deflate all for 10 s". */
export function stepWords(step: Step): string {
  switch (step.kind) {
    case "apply-cuffs":
      return "apply cuffs";
    case "insert-cannula":
      return "insert cannula";
    case "remove-cannula":
      return "remove cannula";
    case "exsanguinate":
      return `exsanguinate by ${step.method}`;
    case "remove-bandage":
      return "remove bandage";
    case "inflate":
    case "confirm":
      return `${step.kind} ${cuffWords(step.cuffs)}`;
    case "deflate": {
      const time = step.flatFor ? ` for ${durationText(inBase(step.flatFor))}` : "";
      return `deflate ${cuffWords(step.cuffs)}${time}`;
    }
    case "confirm-no-pulse":
      return "confirm no pulse";
    case "inject":
    case "give":
      return `${step.kind} ${step.dose}`;
    case "wait":
    case "watch":
    case "recovery":
      return `${step.kind} ${durationWords(step.duration)}`;
    case "wait-for":
      return `wait for ${step.timer}`;
    case "task":
      return step.text === "" && step.topic ? `task ${step.topic}` : `task "${step.text}"`;
    case "stage":
      return `stage ${step.name}`;
    case "end-stage":
      return step.stage === undefined ? "end stage" : `end stage ${step.stage}`;
    case "go-to-emergency":
      return `go to emergency ${step.emergency}`;
    case "ask":
      return `ask "${step.question}"`;
    case "repeat":
      return `repeat ${step.times} times`;
    case "do":
      return `do ${step.routine}`;
    case "finish":
      return "finish";
  }
}

/** "tourniquet-pain", "cuff-leak of distal", "hold reaches 45 min". */
export function handlerWords(handler: Handler): string {
  if (handler.kind === "reaches") {
    return `${handler.timer} reaches ${durationText(inBase(handler.limit))}`;
  }
  return handler.cuff === undefined ? handler.event : `${handler.event} of ${handler.cuff}`;
}

/** "distal", or "all". */
export function cuffWords(choice: CuffChoice): string {
  return choice.kind === "all" ? "all" : choice.name;
}

/** "5 min", "90 s to 3 min", "5 min or more". */
export function durationWords({ shortest, longest }: Duration): string {
  if (!longest) return `${durationText(shortest)} or more`;
  if (longest.equals(shortest)) return durationText(shortest);
  return `${durationText(shortest)} to ${durationText(longest)}`;
}
