import type { Origin, Repair } from "@limbwright/shared/finding";
import { type AstNode, CstUtils, type LangiumDocument } from "langium";
import { insteadOfFirst } from "../grammar/everyday-words.ts";
import { isCuff, isProtocol, isUnknown } from "../grammar/generated/ast.ts";
import { KEYWORDS } from "../grammar/generated/keywords.ts";
import { nodesIn } from "../grammar/nodes.ts";
import { culpritOf } from "../grammar/parser.ts";
import { isEnd } from "../grammar/refusal.ts";
import { isCurlyQuoted, isUnclosed, removeQuotes } from "../grammar/texts.ts";
import { closestName } from "../model/spelling.ts";
import { writeInstead } from "../model/text-changes.ts";
import { correction, type Lowering, suggestion } from "./context.ts";

/**
 * Reports what the lexer and the parser could not read, and statements that start with no known word. Gives
 * the lines (from 0) with such a slip: what else seems wrong there is its consequence.
 */
export function reportSyntax(lowering: Lowering, document: LangiumDocument): ReadonlySet<number> {
  const reported = new Set<number>();
  for (const error of document.parseResult.lexerErrors) {
    const { line } = document.textDocument.positionAt(error.offset);
    if (reported.has(line)) continue;
    reported.add(line);
    reportLines(lowering, document, error.offset, error.offset + error.length, error.message);
  }
  for (const error of document.parseResult.parserErrors) {
    const culprit = culpritOf(error);
    const start = isEnd(culprit) ? document.textDocument.getText().length : culprit.startOffset;
    const line = document.textDocument.positionAt(start).line;
    if (reported.has(line)) continue;
    reported.add(line);
    reportLines(lowering, document, start, firstLineEnd(culprit.image, start), error.message);
  }
  reportUnknownStatements(lowering, document, reported);
  reportQuotes(lowering, document);
  return reported;
}

function firstLineEnd(image: string, start: number): number {
  return start + Math.max(1, (image.split(/[\r\n]/)[0] ?? "").length);
}

function reportLines(
  lowering: Lowering,
  document: LangiumDocument,
  start: number,
  end: number,
  message: string,
): void {
  const [what = message, next = "Mend the line."] = message.split("\n");
  const origin = lowering.originOfOffsets(document, start, end);
  lowering.report({
    rule: "text-not-understood",
    origin,
    what,
    label: "not understood",
    ...answerTo(next, origin),
    ...withCuffs(document, origin),
  });
}

/** `inflate` alone on its line: one repair for each cuff of the protocol around it, and for all of them. */
function withCuffs(document: LangiumDocument, origin: Origin): { readonly repairs?: readonly Repair[] } {
  const { start, end } = origin;
  const text = document.textDocument.getText();
  const [line = ""] = text.slice(start.offset).split(/\r?\n/);
  if (!/^inflate\s*(?:\/\/.*)?$/.test(line) || end.offset !== start.offset + "inflate".length) return {};
  const around = nodesIn(document.parseResult.value).filter(
    (node) => isProtocol(node) && isAround(node, start.offset),
  );
  const cuffs = around.flatMap((node) => nodesIn(node).filter(isCuff)).map(({ name }) => name);
  const chosen = [...new Set([...cuffs, "all"])];
  return { repairs: chosen.flatMap((cuff) => writeInstead(origin, `inflate ${cuff}`)) };
}

function isAround({ $cstNode: node }: AstNode, offset: number): boolean {
  return node !== undefined && node.offset <= offset && offset < node.end;
}

function reportUnknownStatements(
  lowering: Lowering,
  document: LangiumDocument,
  reported: ReadonlySet<number>,
): void {
  for (const node of nodesIn(document.parseResult.value)) {
    if (!isUnknown(node) || !node.$cstNode) continue;
    const start = node.$cstNode.offset;
    if (reported.has(document.textDocument.positionAt(start).line)) continue;
    const word = /^[A-Za-z_][\w-]*/.exec(node.text)?.[0];
    if (word === undefined || KEYWORDS.has(word)) continue;
    const origin = lowering.originOfOffsets(document, start, start + word.length);
    lowering.report({
      rule: "text-not-understood",
      origin,
      what: `\`${word}\` does not start any statement of the language.`,
      label: "unknown word",
      ...answerTo(nextForFirst(word), origin),
    });
  }
}

function nextForFirst(word: string): string {
  const everyday = insteadOfFirst(word);
  if (everyday) return everyday;
  const near = KEYWORDS.has(word.toLowerCase()) ? word.toLowerCase() : closestName(word, STATEMENT_WORDS);
  return near ? `Did you mean \`${near}\`?` : "Write it in the language's words, or as a comment after //.";
}

/** What to do next; where that is one other word, also as a repair. */
function answerTo(next: string, origin: Origin) {
  return suggestion(origin, /^Did you mean `(.+)`\?$/.exec(next)?.[1], next);
}

/** The words that start a statement: what a misspelt first word of a line may have meant. */
const STATEMENT_WORDS = [...KEYWORDS].filter((word) => /^[a-z]/.test(word));

function reportQuotes(lowering: Lowering, document: LangiumDocument): void {
  const root = document.parseResult.value.$cstNode;
  if (!root) return;
  for (const leaf of CstUtils.flattenCst(root)) {
    if (leaf.tokenType.name !== "STRING") continue;
    const curly = isCurlyQuoted(leaf.text);
    const unclosed = isUnclosed(leaf.text);
    if (!curly && !unclosed) continue;
    const origin = lowering.originOfOffsets(document, leaf.offset, leaf.end);
    const text = `"${removeQuotes(leaf.text)}"`;
    lowering.report({
      rule: "text-not-understood",
      origin,
      what: unclosed ? "This text has no closing quote on its line." : "Texts stand in straight quotes.",
      label: unclosed ? "quote not closed" : "curly quotes",
      ...correction(origin, text, unclosed ? "needs-a-look" : "safe"),
    });
  }
}

/** The words of statements that were not understood. A name among them may well be declared there. */
export function unreadWordsOf(document: LangiumDocument): ReadonlySet<string> {
  const words = new Set<string>();
  for (const node of nodesIn(document.parseResult.value)) {
    if (!isUnknown(node)) continue;
    for (const word of node.text.match(/[A-Za-z_][\w-]*/g) ?? []) words.add(word);
  }
  return words;
}
