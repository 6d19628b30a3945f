import type { Group, Rule } from "./engine/definition.ts";
import { rules } from "./generated/catalogue.ts";

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

/** Every rule, by group and then by name. */
export const catalogue: readonly Rule[] = [...rules].sort(
  (a, b) =>
    LAST.indexOf(a.id) - LAST.indexOf(b.id) ||
    GROUPS.indexOf(a.group) - GROUPS.indexOf(b.group) ||
    (a.id < b.id ? -1 : 1),
);
