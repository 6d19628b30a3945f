import type { Severity } from "@limbwright/shared/finding";
import { closestName } from "../model/spelling.ts";
import { RULES_AWAITING_RUNS } from "./awaiting-runs.ts";
import { catalogue, GROUPS } from "./catalogue.ts";
import type { Parameter } from "./parameter.ts";
import type { Group, Rule } from "./rule.ts";
import type { Source } from "./source.ts";

/** A rule as it is listed for a reader, whether this version can judge it or not. */
export interface ListedRule {
  readonly id: string;
  readonly title: string;
  readonly group: Group;
  readonly severity: Severity;
  readonly sources: readonly Source[];
  readonly parameters: readonly Parameter[];
  /** Whether a hospital may accept its findings. */
  readonly isAcceptable: boolean;
  /** Whether it needs every run to be explored, so that this version does not decide it. */
  readonly awaitsRuns: boolean;
}

/** Every rule, by group and then by name. */
export const ruleList: readonly ListedRule[] = [
  ...catalogue.map((rule) => listed(rule, false)),
  ...RULES_AWAITING_RUNS.map((rule) => listed(rule, true)),
].sort((a, b) => GROUPS.indexOf(a.group) - GROUPS.indexOf(b.group) || (a.id < b.id ? -1 : 1));

/** The id that was probably meant by one that does not exist; undefined when none is close. */
export function closestRule(written: string): string | undefined {
  return closestName(
    written,
    ruleList.map(({ id }) => id),
  );
}

type AnyRule = Pick<Rule, "id" | "title" | "group" | "severity" | "sources" | "parameters" | "acceptable">;

function listed(rule: AnyRule, awaitsRuns: boolean): ListedRule {
  const { id, title, group, severity, sources, parameters = [], acceptable } = rule;
  const isAcceptable = acceptable !== false && severity !== "error";
  return { id, title, group, severity, sources, parameters, isAcceptable, awaitsRuns };
}
