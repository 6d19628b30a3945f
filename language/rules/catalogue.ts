import type { AnyRule, Group } from "./engine/definition.ts";
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
