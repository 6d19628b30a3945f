import type { Origin, RunEvidence } from "@limbwright/shared/finding";

/** What became of a scenario: exactly one of these. What is not decided is never a pass. */
export type ScenarioOutcome = "passed" | "failed" | "not-decided";

/** What a scenario came to. Plain values; all words are for a doctor. */
export interface ScenarioResult {
  readonly title: string;
  readonly protocol: string;
  /** Its heading. */
  readonly origin: Origin;
  /** Failed where a line failed; else not decided where a line is, or where nothing is expected. */
  readonly outcome: ScenarioOutcome;
  /** Why the scenario as a whole is not decided. */
  readonly limit?: string;
  readonly lines: readonly LineResult[];
  /** What happened, with its times from the beginning and its places in the text. */
  readonly timeline: RunEvidence;
}

/** What a line of a scenario came to. */
export type LineResult = {
  readonly origin: Origin;
  /** How many lines of the timeline had been told when the line was come to; 0 where time does not matter. */
  readonly told: number;
  /** When that was: "12 min after the end of `local` (14:30)"; missing where time does not matter, or was never reached. */
  readonly when?: string;
} & LineOutcome;

export type LineOutcome =
  /** Something was said of the patient, or something happened. */
  { readonly outcome: "done" } | ExpectationOutcome;

export type ExpectationOutcome =
  | { readonly outcome: "passed" | "failed"; readonly expected: string; readonly found: string }
  /** `limit` says why; `expected` is missing for a line that only makes something happen. */
  | { readonly outcome: "not-decided"; readonly expected?: string; readonly limit: string };

/** What all lines come to together. A scenario that expects nothing cannot pass. */
export function outcomeOf(lines: readonly LineOutcome[]): ScenarioOutcome {
  const has = (outcome: LineOutcome["outcome"]) => lines.some((line) => line.outcome === outcome);
  if (has("failed")) return "failed";
  return has("not-decided") || !has("passed") ? "not-decided" : "passed";
}
