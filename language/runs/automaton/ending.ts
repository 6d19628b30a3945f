import type { Origin } from "@limbwright/shared/finding";
import { checksAt } from "./checks.ts";
import { type Building, locationBefore, type Place } from "./place.ts";

/** Ends a run after the last step of the plan or of an emergency. */
export function buildEnding(building: Building, place: Place, at: Origin): number {
  const { draft } = building;
  const before = locationBefore(building, "after the last step", place);
  draft.addEdge({
    kind: "finish",
    says: "the protocol ends",
    from: [before],
    to: building.end,
    checks: checksAt(building, { kind: "finish", origin: at, phase: place.phase }, at),
    origin: at,
  });
  return before;
}
