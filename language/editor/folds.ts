import { nodesIn } from "../grammar/nodes.ts";
import type { Site } from "../lower/site.ts";

/** Lines (from 1) that an editor can fold away: all after the first, up to the last. */
export interface Fold {
  readonly startLine: number;
  readonly endLine: number;
  readonly kind: "block" | "comment" | "uses";
}

/** What can be folded in a file: blocks between braces, comments and `use` statements on lines in a row. */
export function foldsOf(site: Site, file: string): Fold[] {
  const document = site.documentOf(file);
  if (!document) return [];
  const folds = new Map<number, Fold>();
  for (const { $cstNode } of nodesIn(document.parseResult.value)) {
    if (!$cstNode?.text.endsWith("}")) continue;
    const { start, end } = $cstNode.range;
    const fold: Fold = { startLine: start.line + 1, endLine: end.line, kind: "block" };
    const known = folds.get(fold.startLine);
    if (fold.endLine > fold.startLine && (known?.endLine ?? 0) < fold.endLine)
      folds.set(fold.startLine, fold);
  }
  const lines = document.textDocument.getText().split(/\r\n|\r|\n/);
  return [
    ...folds.values(),
    ...rowsOf(lines, /^\s*\/\//, "comment"),
    ...rowsOf(lines, /^\s*use\s/, "uses"),
  ].sort((a, b) => a.startLine - b.startLine);
}

function rowsOf(lines: readonly string[], pattern: RegExp, kind: Fold["kind"]): Fold[] {
  const folds: Fold[] = [];
  let start = 0;
  [...lines, ""].forEach((line, index) => {
    if (pattern.test(line)) return;
    if (index - start > 1) folds.push({ startLine: start + 1, endLine: index, kind });
    start = index + 1;
  });
  return folds;
}
