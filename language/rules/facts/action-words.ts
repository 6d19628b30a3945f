import { inBase, quantityText } from "@limbwright/shared/quantity";
import { type AutomatonStep, wordsOfStep } from "@limbwright/shared/runtime";
import type { Action, StateCondition } from "../../model/index.ts";
import { cuffWords, momentName } from "../../runs/index.ts";

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
      const { kind, cuffs, flatFor, forEmergency } = action;
      const manner = {
        ...(flatFor && { for: inBase(flatFor).valueOf() }),
        ...(forEmergency && { forEmergency }),
      };
      return { kind, cuff: cuffWords(cuffs), ...manner };
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

const COMPARISONS = { under: "under", over: "over", least: "at least", most: "at most" } as const;

/** A condition in the words of the language; a part of another kind of joining stands in parentheses. */
export function conditionWords(condition: StateCondition): string {
  switch (condition.kind) {
    case "and":
    case "or": {
      const part = (of: StateCondition) =>
        isJoined(of) && of.kind !== condition.kind ? `(${conditionWords(of)})` : conditionWords(of);
      return `${part(condition.left)} ${condition.kind} ${part(condition.right)}`;
    }
    case "not":
      return isJoined(condition.of)
        ? `not (${conditionWords(condition.of)})`
        : `not ${conditionWords(condition.of)}`;
    case "cuff":
      return `${cuffWords(condition.cuffs)} ${condition.state}`;
    case "bandage":
      return `bandage ${condition.on ? "on" : "off"}`;
    case "cannula":
      return `cannula ${condition.in ? "in" : "out"}`;
    case "drug-in-limb":
      return "drug in limb";
    case "occluded":
      return "occluded";
    case "since":
      return `since ${momentName(condition.moment)} ${COMPARISONS[condition.comparison]} ${quantityText(condition.limit)}`;
    case "timer":
      return `${condition.timer} ${COMPARISONS[condition.comparison]} ${quantityText(condition.limit)}`;
  }
}

function isJoined({ kind }: StateCondition): boolean {
  return kind === "and" || kind === "or";
}
