import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol, type Step } from "../model/index.ts";

/** The step that is written at a place of the text, where a rule over runs found something. */
export function stepAt(protocol: Protocol, { file, start }: Origin): Step | undefined {
  for (const step of allSteps(protocol)) {
    if (step.origin.file === file && step.origin.start.offset === start.offset) return step;
  }
  return undefined;
}
