import type { Origin } from "@limbwright/shared/finding";
import { type CstNode, CstUtils, isCompositeCstNode, type LangiumDocument } from "langium";
import { nodesIn } from "../grammar/nodes.ts";
import { fileOf, type Site } from "../lower/site.ts";

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

/** What a selection at an offset grows to: the word, then ever more of what it stands in, up to the whole file. */
export function selectionsAt(site: Site, file: string, offset: number): Origin[] {
  const document = site.documentOf(file);
  const root = document?.parseResult.value.$cstNode;
  if (!document || !root) return [];
  const length = document.textDocument.getText().length;
  const stretches: { offset: number; end: number }[] = [];
  const grow = (stretch: { offset: number; end: number }) => {
    const last = stretches.at(-1);
    const isLarger = !last || (stretch.offset <= last.offset && stretch.end >= last.end);
    const isSame = last?.offset === stretch.offset && last.end === stretch.end;
    if (isLarger && !isSame) stretches.push({ offset: stretch.offset, end: stretch.end });
  };
  let node: CstNode | undefined = CstUtils.findLeafNodeAtOffset(root, offset) ?? innermost(root, offset);
  for (; node; node = node.container) grow(node);
  grow({ offset: 0, end: length });
  return stretches.map((stretch) => originOfRange(document, stretch));
}

/** Between two words there is no leaf: what holds both is the smallest there is. */
function innermost(root: CstNode, offset: number): CstNode {
  let node = root;
  for (;;) {
    const inside: CstNode | undefined = isCompositeCstNode(node)
      ? node.content.find((child) => child.offset <= offset && offset <= child.end)
      : undefined;
    if (!inside) return node;
    node = inside;
  }
}

/** A stretch of a text by its offsets, such as a leaf of the syntax tree. */
interface Stretch {
  readonly offset: number;
  readonly end: number;
}

export function originOfRange(document: LangiumDocument, { offset, end }: Stretch): Origin {
  const place = (at: number) => {
    const { line, character } = document.textDocument.positionAt(at);
    return { line: line + 1, column: character + 1, offset: at };
  };
  return { file: fileOf(document.uri), start: place(offset), end: place(end) };
}
