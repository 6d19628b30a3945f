import type { Severity } from "@limbwright/shared/finding";
import { SOURCES_AWAITING_RUNS } from "./awaiting-runs-sources.ts";
import type { Parameter } from "./parameter.ts";
import type { Group } from "./rule.ts";
import type { Source } from "./source.ts";

/**
 * Rules about the order and times of a run. They need every run of a protocol to be explored, which this
 * version does not do: each is *not decided* for every protocol, and says so wherever verdicts are shown.
 * Local rules can set their parameters already.
 */
export interface RuleAwaitingRuns {
  readonly id: string;
  readonly title: string;
  readonly group: Group;
  readonly severity: Severity;
  /** Where its values are published; none where it judges an order alone, by what the protocol says itself. */
  readonly sources: readonly Source[];
  readonly parameters?: readonly Parameter[];
  readonly acceptable?: false;
}

export const NOT_PROVEN = "this version does not explore the runs of a protocol";

type Details = Omit<RuleAwaitingRuns, "id" | "title" | "group" | "severity" | "sources">;

function rule(
  group: Group,
  severity: Severity,
  id: string,
  title: string,
  details: Details = {},
): RuleAwaitingRuns {
  return { id, title, group, severity, sources: SOURCES_AWAITING_RUNS[id] ?? [], ...details };
}

export const RULES_AWAITING_RUNS: readonly RuleAwaitingRuns[] = [];
