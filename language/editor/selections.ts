import type { Origin } from "@limbwright/shared/finding";
import { type CstNode, CstUtils, isCompositeCstNode } from "langium";
import type { Site } from "../lower/site.ts";
import { originOfRange } from "./origins.ts";

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
