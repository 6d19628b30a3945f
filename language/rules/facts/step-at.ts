import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol, type Step } from "../../model/index.ts";

/** The step that is written at a place of the text, where a rule over runs found something. */
export function stepAt(protocol: Protocol, origin: Origin): Step | undefined {
  for (const step of allSteps(protocol)) {
    if (isSamePlace(step.origin, origin)) return step;
  }
  return undefined;
}

/** Whether two places begin at the same character. */
export function isSamePlace(a: Origin, b: Origin): boolean {
  return a.file === b.file && a.start.offset === b.start.offset;
}
