import { isAcceptable } from "./engine/acceptances.ts";
import type { AnyRule, Group } from "./engine/definition.ts";
import { rules } from "./generated/catalogue.ts";
import { type CitedSource, sourceOf } from "./sources/sources.ts";

/** The groups in the order in which rules are listed. */
const GROUPS: readonly Group[] = ["text", "numbers", "dose", "cuff", "time", "readiness", "governance"];

/** Every rule, by group and then by name; those that look at what the others found come last. */
export const catalogue: readonly AnyRule[] = [...rules].sort(
  (a, b) =>
    Number(isLast(a)) - Number(isLast(b)) ||
    GROUPS.indexOf(a.group) - GROUPS.indexOf(b.group) ||
    (a.id < b.id ? -1 : 1),
);

function isLast({ needs = [], comesLast }: AnyRule): boolean {
  return comesLast === true || needs.includes("findings");
}

/** A rule as it is listed for a reader. */
export interface ListedRule
  extends Pick<AnyRule, "id" | "title" | "group" | "severity" | "hazards" | "parameters" | "acceptedUpTo"> {
  readonly sources: readonly CitedSource[];
  /** Whether a hospital may accept its findings, and those among them that are unsafe, without a value. */
  readonly isAcceptable: boolean;
  readonly isUnsafeAcceptable: boolean;
}

/** Every rule, by group and then by name. */
export const ruleList: readonly ListedRule[] = [...catalogue.map(listRule)].sort(
  (a, b) => GROUPS.indexOf(a.group) - GROUPS.indexOf(b.group) || (a.id < b.id ? -1 : 1),
);

function listRule(rule: AnyRule): ListedRule {
  const { id, title, group, severity, hazards, sources, parameters, acceptedUpTo } = rule;
  const cited = sources.map((citation) => ({ ...citation, ...sourceOf(citation.source) }));
  return {
    id,
    title,
    group,
    severity,
    hazards,
    sources: cited,
    parameters,
    ...(acceptedUpTo && { acceptedUpTo }),
    isAcceptable: isAcceptable(rule),
    isUnsafeAcceptable: isAcceptable(rule, "unsafe"),
  };
}
