import type { Finding } from "@limbwright/shared/finding";

/** A finding that a text says it gets: the marked words, its rule, and words that its message contains. */
export interface Mark {
  readonly line: number;
  readonly column: number;
  /** Undefined for a finding that goes on beyond its first line, marked `^^^^…`. */
  readonly endColumn: number | undefined;
  readonly rule: string;
  readonly words: string;
}

const MARK = /^\s*\/\/\s*(\^+)(…?)\s+([a-z-]+)(?::\s*(.*))?$/;

/**
 * The marks of a text. A line such as `//   ^^^^^ trailing-zero: 5.0` speaks of the last line above it that
 * is no mark: the carets stand under the exact words of the finding.
 */
export function marksOf(text: string): Mark[] {
  const marks: Mark[] = [];
  let line = 0;
  text.split(/\r?\n/).forEach((content, index) => {
    const mark = MARK.exec(content);
    if (!mark) {
      line = index + 1;
      return;
    }
    const column = content.indexOf("^") + 1;
    const carets = mark[1]?.length ?? 0;
    const endColumn = mark[2] === "…" ? undefined : column + carets;
    marks.push({ line, column, endColumn, rule: mark[3] ?? "", words: mark[4] ?? "" });
  });
  return marks;
}

/** Marks and findings as lines that can be compared. */
export function markLines(marks: readonly Mark[]): string[] {
  return marks.map((mark) => `${mark.line}:${mark.column}-${mark.endColumn ?? "…"} ${mark.rule}`).sort();
}

export function findingLines(findings: readonly Finding[]): string[] {
  return findings
    .map(({ origin: { start, end }, rule }) => {
      const endColumn = end.line === start.line ? end.column : "…";
      return `${start.line}:${start.column}-${endColumn} ${rule}`;
    })
    .sort();
}

/** The marks whose words no finding at their place says. */
export function unsaid(marks: readonly Mark[], findings: readonly Finding[]): Mark[] {
  return marks.filter(
    (mark) =>
      !findings.some(
        ({ rule, origin, what, next, label, patients }) =>
          rule === mark.rule &&
          origin.start.line === mark.line &&
          origin.start.column === mark.column &&
          [what, next, label, ...(patients?.ranges ?? [])].some((words) => words.includes(mark.words)),
      ),
  );
}
