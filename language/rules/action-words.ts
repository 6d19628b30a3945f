import { quantityText } from "@limbwright/shared/quantity";
import type { Action } from "../model/index.ts";
import { cuffWords } from "../runs/index.ts";

/** An action in the words of the language: "confirm distal", "deflate all for 10 s". */
export function actionWords(action: Action): string {
  switch (action.kind) {
    case "inflate":
    case "confirm":
      return `${action.kind} ${cuffWords(action.cuffs)}`;
    case "deflate": {
      const time = action.flatFor ? ` for ${quantityText(action.flatFor)}` : "";
      return `deflate ${cuffWords(action.cuffs)}${time}`;
    }
    case "inject":
    case "give":
      return `${action.kind} ${action.dose}`;
    case "task": {
      const text = action.text === undefined ? undefined : `"${action.text}"`;
      return ["task", action.topic, text].filter((part) => part !== undefined).join(" ");
    }
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-cannula":
    case "remove-bandage":
    case "exsanguinate":
      return action.kind.replace("-", " ");
  }
}
