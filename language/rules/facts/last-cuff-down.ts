import type { Condition } from "@limbwright/shared/runtime";
import { chosen, type Instant, leavesNoneUp } from "../../runs/index.ts";

/** What has to be so for a step to let down the last cuff that is up; undefined at every other instant. */
export function letsLastCuffDown(instant: Instant, cuffs: readonly string[]): Condition | undefined {
  return instant.kind === "start" && instant.step.kind === "deflate"
    ? leavesNoneUp(chosen(instant.step.cuffs, cuffs), cuffs)
    : undefined;
}
