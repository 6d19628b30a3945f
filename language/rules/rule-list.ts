import type { Severity } from "@limbwright/shared/finding";
import { catalogue, GROUPS } from "./catalogue.ts";
import type { AnyRule, Group } from "./engine/definition.ts";
import type { Parameter } from "./engine/parameter.ts";
import { type CitedSource, sourceOf } from "./sources/sources.ts";

/** A rule as it is listed for a reader. */
export interface ListedRule {
  readonly id: string;
  readonly title: string;
  readonly group: Group;
  readonly severity: Severity;
  readonly sources: readonly CitedSource[];
  readonly parameters: readonly Parameter[];
  /** Whether a hospital may accept its findings. */
  readonly isAcceptable: boolean;
}

/** Every rule, by group and then by name. */
export const ruleList: readonly ListedRule[] = [...catalogue.map(listRule)].sort(
  (a, b) => GROUPS.indexOf(a.group) - GROUPS.indexOf(b.group) || (a.id < b.id ? -1 : 1),
);

function listRule(rule: AnyRule): ListedRule {
  const { id, title, group, severity, sources, parameters, acceptable } = rule;
  const isAcceptable = acceptable !== false && severity !== "error";
  const cited = sources.map((citation) => ({ ...citation, ...sourceOf(citation.source) }));
  return { id, title, group, severity, sources: cited, parameters, isAcceptable };
}
