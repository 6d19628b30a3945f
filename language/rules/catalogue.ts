import { RULES_AWAITING_RUNS } from "./awaiting-runs.ts";
import { rules } from "./generated/catalogue.ts";
import type { KnownRule } from "./parameters.ts";
import type { Group, Rule } from "./rule.ts";

/** The groups in the order in which rules are listed. */
export const GROUPS: readonly Group[] = [
  "text",
  "numbers",
  "dose",
  "cuff",
  "time",
  "readiness",
  "governance",
];

/** Rules about findings come last: they look at what the others found. */
const LAST = ["acceptance-expired", "acceptance-unused", "approved-with-findings"];

/** Every rule that this version judges, by group and then by name. */
export const catalogue: readonly Rule[] = [...rules].sort(
  (a, b) =>
    LAST.indexOf(a.id) - LAST.indexOf(b.id) ||
    GROUPS.indexOf(a.group) - GROUPS.indexOf(b.group) ||
    (a.id < b.id ? -1 : 1),
);

/** All of them, with those that await the proof of runs: what local rules can set and accept. */
export const knownRules: readonly KnownRule[] = [...catalogue, ...RULES_AWAITING_RUNS];

/**
 * The number of the catalogue, which goes into a rule file's proof. It is raised whenever a rule is added,
 * or judges otherwise than before.
 */
export const CATALOGUE_VERSION = 1;
