import { quantityText } from "@limbwright/shared/quantity";
import type { StateCondition } from "../../model/index.ts";
import { cuffWords, momentName } from "../../runs/index.ts";

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
