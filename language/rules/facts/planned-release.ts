import { clockText } from "@limbwright/shared/quantity";
import type { Condition } from "@limbwright/shared/runtime";
import {
  all,
  DRUG_IN_LIMB,
  HOLD,
  HOLD_RUNS,
  type Instant,
  leavesNoneUp,
  not,
  pickCuffs,
  type Run,
  type WatchedCheck,
} from "../../runs/index.ts";
import { lastInjected } from "./shown-run.ts";

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
  return beforeHoldReaches(minimum, leavesNoneUp(deflated, cuffs));
}

/** The ways in which the drug is in the limb and hold has not counted so long, in seconds, or does not count yet. */
export function beforeHoldReaches(minimum: number, ...conditions: readonly Condition[]): WatchedCheck[] {
  const early = [DRUG_IN_LIMB, ...conditions];
  return [
    { when: all(...early, not(HOLD_RUNS)) },
    { when: all(...early, HOLD_RUNS), clocks: [{ clock: HOLD, is: "under", seconds: minimum }] },
  ];
}

/** How far a shown run came before its release: "5:00 after `local`, 25:00 too early". */
export function releaseTimeText(run: Run, minimum: number): string {
  const held = secondsHeld(run);
  const since = sinceInjectionText(run);
  return held === undefined ? since : `${since}, ${clockText(minimum - held)} too early`;
}

/** When the shown run ends, counted from the injection: "5:00 after `local`". */
export function sinceInjectionText(run: Run): string {
  const held = secondsHeld(run);
  const dose = lastInjected(run);
  const injection = dose === undefined ? "the injection" : `\`${dose}\``;
  return held === undefined ? `before ${injection} is all in` : `${clockText(held)} after ${injection}`;
}

/** Seconds since the last injection ended; undefined while it goes on. */
export function secondsHeld({ clocks, variables }: Run): number | undefined {
  return variables["hold runs"] === 1 ? clocks[HOLD] : undefined;
}

/** What has to be so for a step to let down the last cuff that is up; undefined at every other instant. */
export function letsLastCuffDown(instant: Instant, cuffs: readonly string[]): Condition | undefined {
  return instant.kind === "start" && instant.step.kind === "deflate"
    ? leavesNoneUp(pickCuffs(instant.step.cuffs, cuffs), cuffs)
    : undefined;
}
