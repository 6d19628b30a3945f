import type { Finding, NotJudged, Origin, Verdict } from "@limbwright/shared/finding";
import type { DeclaredRules } from "../model/index.ts";
import type { Releases } from "../rules/engine/over-runs.ts";
import type { Envelope } from "../runs/index.ts";

/** A protocol's verdicts and findings, some of which may have their place in files that it uses. */
export interface JudgedProtocol {
  readonly name: string;
  readonly nameOrigin: Origin;
  readonly findings: readonly Finding[];
  readonly verdicts: readonly Verdict[];
  readonly notJudged: readonly NotJudged[];
  /** Rules that were put off because they ask for the runs; none once the runs are gone through. */
  readonly pending: readonly string[];
  /** Over every run; undefined where not every run was gone through. */
  readonly envelope?: Envelope;
  /** The runs with the earliest and the latest release, where they were asked for. */
  readonly releases?: Releases;
  /** The drugs it uses, as `file#name`. */
  readonly agents: readonly string[];
  readonly localRules?: DeclaredRules;
}
