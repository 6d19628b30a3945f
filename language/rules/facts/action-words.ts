import { inBase } from "@limbwright/shared/quantity";
import { type AutomatonStep, wordsOfStep } from "@limbwright/shared/runtime";
import type { Action } from "../../model/index.ts";
import { cuffWords } from "../../runs/index.ts";

/** An action in the words of the language: "confirm distal", "deflate all for 10 s". */
export function actionWords(action: Action): string {
  return wordsOfStep(actionData(action));
}

/** The step that is written just as an action is. */
export function actionData(action: Action): AutomatonStep {
  switch (action.kind) {
    case "inflate":
    case "confirm":
      return { kind: action.kind, cuff: cuffWords(action.cuffs) };
    case "deflate": {
      const { kind, cuffs, flatFor } = action;
      return { kind, cuff: cuffWords(cuffs), ...(flatFor && { for: inBase(flatFor).valueOf() }) };
    }
    case "inject":
    case "give":
    case "task":
      return action;
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-cannula":
    case "remove-bandage":
    case "exsanguinate":
      return { kind: action.kind };
  }
}
