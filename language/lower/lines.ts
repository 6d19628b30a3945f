import type { AstNode, LangiumDocument } from "langium";
import { isStatement, nodesIn } from "../grammar/nodes.ts";
import type { Lowering } from "./context.ts";

/** Reports each line on which a second statement of a block starts, once however many there are. */
export function reportSharedLines(lowering: Lowering, document: LangiumDocument): void {
  const byLine = new Map<number, AstNode[]>();
  for (const node of nodesIn(document.parseResult.value)) {
    if (!followsOnItsLine(node)) continue;
    const line = node.$cstNode?.range.start.line ?? 0;
    byLine.set(line, [...(byLine.get(line) ?? []), node]);
  }
  for (const nodes of byLine.values()) reportLine(lowering, document, nodes);
}

function reportLine(lowering: Lowering, document: LangiumDocument, nodes: readonly AstNode[]): void {
  const [first] = nodes.toSorted((a, b) => startOf(a) - startOf(b));
  if (!first) return;
  const text = document.textDocument.getText();
  lowering.report({
    rule: "statement-shares-line",
    origin: lowering.originOfOffsets(document, startOf(first), headingEnd(lowering, first)),
    what: "There is more than one statement on this line.",
    label: "another statement",
    next: "Write it on a line of its own; `limb format` does so.",
    repairs: [
      {
        title: "Write every statement on its own line",
        safety: "safe",
        changes: nodes.map((node) => {
          const start = startOf(node);
          const gap = /\s*$/.exec(text.slice(0, start))?.[0].length ?? 0;
          return {
            origin: lowering.originOfOffsets(document, start - gap, start),
            text: `\n${indentAt(text, start)}`,
          };
        }),
      },
    ],
  });
}

/** Whether the statement before it in the same block ends on the line on which this one starts. */
function followsOnItsLine(node: AstNode): boolean {
  const { $containerProperty: property, $containerIndex: index, $container: container } = node;
  if (!property || !index || !isStatement(node) || isNotRead(node)) return false;
  const before = (container as unknown as Record<string, readonly AstNode[] | undefined>)[property]?.[
    index - 1
  ];
  if (!before || isNotRead(before)) return false;
  return before.$cstNode?.range.end.line === node.$cstNode?.range.start.line;
}

/** What was not understood is reported for that, and a brace that closes nothing is no statement. */
function isNotRead(node: AstNode): boolean {
  return node.$type === "Unknown" || node.$type === "StrayBrace" || node.$cstNode === undefined;
}

/** The end of its heading, or its own where another statement follows on the line. */
function headingEnd(lowering: Lowering, node: AstNode): number {
  return Math.min(lowering.originOfHeading(node).end.offset, node.$cstNode?.end ?? Number.POSITIVE_INFINITY);
}

function startOf(node: AstNode): number {
  return node.$cstNode?.offset ?? 0;
}

function indentAt(text: string, offset: number): string {
  const lineStart = Math.max(text.lastIndexOf("\n", offset - 1), text.lastIndexOf("\r", offset - 1)) + 1;
  return /^[ \t]*/.exec(text.slice(lineStart, offset))?.[0] ?? "";
}
