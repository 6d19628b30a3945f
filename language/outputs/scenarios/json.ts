import type { ProtocolCoverage } from "../../scenarios/coverage.ts";
import type { FileScenarios } from "../../scenarios/scenario-results.ts";
import { reportHead, type Unread } from "../findings/tally.ts";
import type { ScenarioTally } from "./text.ts";

/**
 * The number of the form, raised by any change that a reader could notice. `scenarios.schema.json` beside this file
 * describes it.
 */
const SCENARIOS_FORMAT = 1;

export interface ScenariosJson {
  /** The version of the program that writes. */
  readonly version: string;
  /** The day on which dates were judged, YYYY-MM-DD. */
  readonly on: string;
  /** Every file that was asked for, though it has no scenario, so that nobody takes one for tested that was not. */
  readonly files: readonly FileScenarios[];
  readonly tally: ScenarioTally;
  readonly coverage: readonly ProtocolCoverage[];
  readonly unread: readonly Unread[];
}

/** What scenarios came to, for other programs, as one JSON document. */
export function scenariosJson({ version, on, files, tally, coverage, unread }: ScenariosJson): string {
  const { passed, failed, "not-decided": notDecided } = tally.byOutcome;
  const report = {
    ...reportHead(SCENARIOS_FORMAT, version),
    judgedOn: on,
    files: files.map(({ file, errors, results }) => ({ file, errors: errors.length, scenarios: results })),
    coverage,
    unread,
    summary: { files: tally.files, passed, failed, notDecided, withErrors: tally.withErrors },
  };
  return `${JSON.stringify(report, undefined, 2)}\n`;
}
