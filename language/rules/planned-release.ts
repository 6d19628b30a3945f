import type { WatchedCheck } from "../runs/index.ts";
import { all, DRUG_IN_LIMB, HOLD, HOLD_RUNS, type Instant, leavesNoneUp, not } from "../runs/index.ts";

/**
 * Whether this is where the plan itself lets the cuffs down: a `deflate all` of its steps, or the deflation
 * of a cuff after which the plan inflates no other. Such a release before the minimum is an early release; any
 * other one (in a `when`, at a swap, at a leak) leaves the limb without a cuff by mistake.
 */
export function isPlannedRelease(instant: Instant): boolean {
  if (instant.kind !== "start" || instant.phase !== "plan" || instant.step.kind !== "deflate") return false;
  return instant.step.cuffs.kind === "all" || !instant.inflatesOtherLater;
}

/**
 * The ways in which these cuffs losing their pressure is a release before the minimum, in seconds: hold has
 * not counted so long, or does not count yet. Asked before anything changes.
 */
export function releaseBefore(
  minimum: number,
  deflated: readonly string[],
  cuffs: readonly string[],
): WatchedCheck[] {
  const releases = [leavesNoneUp(deflated, cuffs), DRUG_IN_LIMB];
  return [
    { when: all(...releases, not(HOLD_RUNS)) },
    { when: all(...releases, HOLD_RUNS), clocks: [{ clock: HOLD, is: "under", seconds: minimum }] },
  ];
}
