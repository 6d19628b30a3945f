import { replacedStretch } from "@limbwright/shared/text";
import type { AstNode, LangiumDocument } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import type { Problem, Protocol } from "../model/index.ts";
import { type FileMove, moved } from "../model/moved.ts";
import { nameOf } from "./names.ts";

/** A protocol with the problems that were met while it was lowered. */
export interface LoweredProtocol {
  readonly value: Protocol;
  readonly problems: readonly Problem[];
}

/** What the lowering of a file leaves for that of its next text. */
export interface Earlier {
  readonly text: string;
  /** The files whose names it can use, as they were read. */
  readonly visible: readonly LangiumDocument[];
  /** All that stands beside its protocols. */
  readonly around: readonly string[];
  /** By name and text; none where the text was not read without an error, or two share a name. */
  readonly protocols: ReadonlyMap<string, LoweredProtocol>;
}

export function leftForNext(
  document: LangiumDocument,
  visible: readonly LangiumDocument[],
  lowered: ReadonlyMap<ast.Protocol, LoweredProtocol>,
): Earlier {
  const byText = new Map([...lowered].map(([node, protocol]) => [placedText(node), protocol]));
  const names = new Set([...lowered.keys()].map(nameOf));
  const isSure = isReadCleanly(document) && names.size === lowered.size;
  return {
    text: document.textDocument.getText(),
    visible,
    around: aroundProtocols(document),
    protocols: isSure ? byText : new Map(),
  };
}

/**
 * Gives the protocols of a file that an edit left as they were, moved to where they stand now: their own text, and all
 * else that they can see, is the same in a text that is read without an error both times.
 */
export function leftAsTheyWere(
  file: string,
  document: LangiumDocument,
  visible: readonly LangiumDocument[],
  earlier: Earlier | undefined,
): (node: ast.Protocol) => LoweredProtocol | undefined {
  if (!earlier || !isReadCleanly(document) || !isSameAround(earlier, document, visible))
    return () => undefined;
  const movement = new Map([[file, moveBetween(earlier.text, document.textDocument.getText())]]);
  return (node) => {
    const same = earlier.protocols.get(placedText(node));
    return same && moved(same, movement);
  };
}

function isReadCleanly({ parseResult: { lexerErrors, parserErrors } }: LangiumDocument): boolean {
  return lexerErrors.length === 0 && parserErrors.length === 0;
}

function isSameAround(
  earlier: Earlier,
  document: LangiumDocument,
  visible: readonly LangiumDocument[],
): boolean {
  const around = aroundProtocols(document);
  return (
    visible.length === earlier.visible.length &&
    visible.every((one, index) => one === earlier.visible[index]) &&
    around.length === earlier.around.length &&
    around.every((one, index) => one === earlier.around[index])
  );
}

function aroundProtocols(document: LangiumDocument): string[] {
  const { elements } = document.parseResult.value as ast.Document;
  return elements.filter(({ $type }) => $type !== "Protocol").map(placedText);
}

/** The text of a node with the column at which it starts: its places within a line are told by both. */
function placedText({ $cstNode }: AstNode): string {
  return `${$cstNode?.range.start.character ?? 0}:${$cstNode?.text ?? ""}`;
}

/**
 * How places move from one text to another, of which one stretch was replaced. What stands right at its ends may belong to
 * either side, so nothing is said of it.
 */
function moveBetween(before: string, after: string): FileMove {
  const { start, endBefore, endAfter } = replacedStretch(before, after);
  const offset = after.length - before.length;
  const line = linesIn(after, start, endAfter) - linesIn(before, start, endBefore);
  const isStill = offset === 0 && line === 0;
  return {
    lastUnmoved: start - 1,
    firstMoved: isStill ? Number.POSITIVE_INFINITY : endBefore + 1,
    offset,
    line,
  };
}

/** How many lines end in a stretch of a text; `\r\n` ends one. */
function linesIn(text: string, start: number, end: number): number {
  return text.slice(start, end).match(/\r\n|\r|\n/g)?.length ?? 0;
}
