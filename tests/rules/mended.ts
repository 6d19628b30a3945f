import { catalogue, type FileCheck } from "@limbwright/language";
import { type Finding, isAtLeast, type Repair } from "@limbwright/shared/finding";

/** Some files with a repair made in them. */
export function withRepair(before: ReadonlyMap<string, string>, { changes }: Repair): Map<string, string> {
  const files = new Map(before);
  // Of changes at one place the first comes first in the text, as editors have it.
  const backwards = [...changes].reverse().sort((a, b) => b.origin.start.offset - a.origin.start.offset);
  for (const { origin, text } of backwards) {
    const old = files.get(origin.file) ?? "";
    files.set(origin.file, old.slice(0, origin.start.offset) + text + old.slice(origin.end.offset));
  }
  return files;
}

/** How often a rule finds something. */
export function count({ findings }: FileCheck, rule: string): number {
  return findings.filter((finding) => finding.rule === rule).length;
}

/** The rules that held before, or had nothing to find in the text, and are broken after by something as bad. */
export function newlyBroken(before: FileCheck, after: FileCheck, { severity }: Finding): string[] {
  const held = (rule: string) =>
    before.protocols.every(({ verdicts }) => verdicts.find((one) => one.rule === rule)?.kind === "holds");
  const found = after.findings.filter((one) => isAtLeast(one.severity, severity) && !one.accepted);
  return [...new Set(found.map(({ rule }) => rule))].filter(
    (rule) => held(rule) || (isOfText(rule) && count(after, rule) > count(before, rule)),
  );
}

function isOfText(rule: string): boolean {
  return catalogue.find(({ id }) => id === rule)?.group === "text";
}
