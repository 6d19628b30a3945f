import { Site } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { findingLines, type Mark, markLines, marksOf, unsaid } from "../../marked-text.ts";
import { checkExample, laidOver, READING } from "../../rules/page-examples.ts";

/**
 * Where the marks of a text and what its reading reports disagree: what is found and not marked, marked and not
 * found, and words that no finding says. Only rules that are judged while the text is read are looked at. A
 * text without a protocol is laid over the base protocol; a finding anywhere else in it counts too.
 */
export function disagreements(text: string): string[] {
  const { firstLine } = laidOver(text);
  const marks = marksOf(text).map((mark) => ({ ...mark, line: mark.line + firstLine - 1 }));
  return compared(marks, readingFindings(text));
}

/** The same for the first of several files, by their paths in the workspace. */
export function disagreementsIn(files: Readonly<Record<string, string>>): string[] {
  const site = new Site((file) => files[file]);
  const [[file, text] = ["", ""]] = Object.entries(files);
  const findings = (site.file(file)?.problems ?? []).map(
    (problem): Finding => ({ severity: "error", why: "", related: [], repairs: [], ...problem }),
  );
  return compared(marksOf(text), findings);
}

/** The title, or another part, of the first repair of every finding of the reading, in the order of the text. */
export function repairsIn(text: string, part: "title" | "safety" = "title"): (string | undefined)[] {
  return readingFindings(text).map(({ repairs }) => repairs[0]?.[part]);
}

function readingFindings(text: string): Finding[] {
  return checkExample(text, { about: READING }).check.findings.filter(({ rule }) => READING.includes(rule));
}

function compared(marks: readonly Mark[], findings: readonly Finding[]): string[] {
  const found = findingLines(findings);
  const marked = markLines(marks);
  return [
    ...without(found, marked).map((line) => `found, not marked: ${line}`),
    ...without(marked, found).map((line) => `marked, not found: ${line}`),
    ...unsaid(marks, findings).map(({ line, rule, words }) => `not said: ${line} ${rule}: ${words}`),
  ];
}

/** The lines that are in the one list and not in the other, each as often as it is missing. */
function without(lines: readonly string[], others: readonly string[]): string[] {
  const rest = [...others];
  return lines.filter((line) => {
    const index = rest.indexOf(line);
    if (index >= 0) rest.splice(index, 1);
    return index < 0;
  });
}
