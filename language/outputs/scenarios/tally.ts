import type { ScenarioOutcome } from "../../scenarios/result.ts";
import type { FileScenarios } from "../../scenarios/scenario-results.ts";

/** What the scenarios of some files came to. */
export interface ScenarioTally {
  /** Files that have a scenario. */
  readonly files: number;
  readonly byOutcome: Readonly<Record<ScenarioOutcome, number>>;
  /** Files in whose text are errors: a scenario may be hidden there. */
  readonly withErrors: number;
}

export function scenarioTally(files: readonly FileScenarios[]): ScenarioTally {
  const byOutcome = { passed: 0, failed: 0, "not-decided": 0 };
  for (const { outcome } of files.flatMap(({ results }) => results)) byOutcome[outcome] += 1;
  return {
    files: files.filter(({ results }) => results.length > 0).length,
    byOutcome,
    withErrors: files.filter(({ errors }) => errors.length > 0).length,
  };
}
