import type { Protocol } from "../model/index.ts";
import type { Change, RaisedNumber } from "./change.ts";
import type { VersionRaise } from "./comparison.ts";

const ORDER: readonly RaisedNumber[] = ["first", "second", "third", "none"];

/** Whether a version was raised as its changes ask. Without a version on both sides there is nothing to ask. */
export function versionRaise(before: Protocol, now: Protocol, changes: readonly Change[]): VersionRaise {
  const needed = ORDER.find((number) => changes.some(({ raises }) => raises === number)) ?? "none";
  const [old, recent] = [before.version?.value, now.version?.value];
  const raised = old !== undefined && recent !== undefined ? raisedBetween(old, recent) : "none";
  return {
    ...(old !== undefined && { before: old }),
    ...(recent !== undefined && { now: recent }),
    needed,
    raised,
    isEnough: raised !== "lowered" && ORDER.indexOf(raised) <= ORDER.indexOf(needed),
  };
}

function raisedBetween(before: string, now: string): VersionRaise["raised"] {
  const [old, recent] = [before, now].map((version) => version.split(".").map(Number));
  const at = [0, 1, 2].find((place) => old?.[place] !== recent?.[place]);
  if (at === undefined) return "none";
  return (recent?.[at] ?? 0) > (old?.[at] ?? 0) ? (ORDER[at] ?? "none") : "lowered";
}
