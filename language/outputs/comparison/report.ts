import { isUndecided, type NotCompared, type SiteComparison } from "../../compare/comparison.ts";

/** A comparison with what its readers have to know of how it was made. */
export interface ComparisonReport {
  /** What the two versions are called: "HEAD", "the folder approved". */
  readonly before: string;
  readonly now: string;
  /** The day on which dates were judged, YYYY-MM-DD. */
  readonly on: string;
  readonly comparison: SiteComparison;
}

/** What a whole comparison comes to, for an exit code and for the sentence that stands above it. */
export type ComparisonVerdict = "not-raised" | "not-decided" | "clear";

/**
 * `not-raised`: the changes of a protocol ask for the first number of its version, which was not raised; a draft is no
 * exception. `not-decided`: nothing of that, but something could not be compared or decided.
 */
export function verdictOf({ protocols, notCompared }: SiteComparison): ComparisonVerdict {
  const isWanting = protocols.some(
    ({ version, outcome }) =>
      outcome !== "added" &&
      outcome !== "removed" &&
      version.needed === "first" &&
      version.raised !== "first",
  );
  if (isWanting) return "not-raised";
  return notCompared.length > 0 || protocols.some(isUndecided) ? "not-decided" : "clear";
}

/** "before", "now", "on both sides": where something could not be compared. */
export function sideText({ side }: NotCompared): string {
  return side === "both"
    ? "in both versions"
    : side === "before"
      ? "in the earlier version"
      : "in the new version";
}
