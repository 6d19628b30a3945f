import { type Action, allSteps, type Protocol, type Step } from "../model/index.ts";
import { actionWords } from "../rules/facts/action-words.ts";
import { chosen, cuffNames, doesAction, stepWords } from "../runs/index.ts";

/**
 * The steps of a protocol that an expectation names, in the words by which the runtime knows them: the one that is written so;
 * else each that does the same on the same cuffs.
 */
export function stepsNamed(protocol: Protocol, action: Action): string[] {
  const steps = [...allSteps(protocol)];
  const written = actionWords(action);
  if (steps.some((step) => stepWords(step) === written)) return [written];
  const alike = steps.filter(
    (step) => doesAction(step, action, protocol) && isOnSameCuffs(step, action, protocol),
  );
  return [...new Set(alike.map(stepWords))];
}

/** `deflate all` is no way to `deflate proximal` alone, unless there is one cuff. */
function isOnSameCuffs(step: Step, action: Action, protocol: Protocol): boolean {
  if (!("cuffs" in action) || !("cuffs" in step)) return true;
  const cuffs = cuffNames(protocol);
  return chosen(step.cuffs, cuffs).length === chosen(action.cuffs, cuffs).length;
}
