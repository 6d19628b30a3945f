import { type AutomatonStep, keyOfStep } from "@limbwright/shared/runtime";
import { type Action, allSteps, type Protocol, type Step } from "../model/index.ts";
import { actionData } from "../rules/facts/action-words.ts";
import { cuffNames, doesAction, pickCuffs, stepData } from "../runs/index.ts";

/** The steps of a protocol that an expectation names: the one that is written so; else each that does the same on the same cuffs. */
export function stepsNamed(protocol: Protocol, action: Action): AutomatonStep[] {
  const steps = [...allSteps(protocol)];
  const written = actionData(action);
  const key = keyOfStep(written);
  if (steps.some((step) => keyOfStep(stepData(step)) === key)) return [written];
  const alike = steps
    .filter((step) => doesAction(step, action, protocol) && isOnSameCuffs(step, action, protocol))
    .map(stepData);
  return [...new Map(alike.map((step) => [keyOfStep(step), step])).values()];
}

/** `deflate all` is no way to `deflate proximal` alone, unless there is one cuff. */
function isOnSameCuffs(step: Step, action: Action, protocol: Protocol): boolean {
  if (!("cuffs" in action) || !("cuffs" in step)) return true;
  const cuffs = cuffNames(protocol);
  return pickCuffs(step.cuffs, cuffs).length === pickCuffs(action.cuffs, cuffs).length;
}
