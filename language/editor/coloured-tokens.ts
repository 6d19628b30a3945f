import type { Origin } from "@limbwright/shared/finding";
import { CstUtils, type LangiumDocument } from "langium";
import { KEYWORDS } from "../grammar/generated/keywords.ts";
import { TOKEN_PATTERNS, WORD } from "../grammar/tokens.ts";
import type { Site } from "../lower/site.ts";
import { catalogue } from "../rules/catalogue.ts";
import { originOfRange } from "./folds.ts";
import { type NameKind, namesIn } from "./names.ts";

export type TokenKind = NameKind | "comment" | "keyword" | "number" | "rule" | "text" | "word";

/** A stretch of one line with what it is; in the order of the text, none over another. */
export interface ColouredToken {
  readonly origin: Origin;
  readonly kind: TokenKind;
  readonly isDeclaration: boolean;
}

/** What each word of a file is. Empty where there is no such file. */
export function colourTokens(site: Site, file: string): ColouredToken[] {
  const document = site.documentOf(file);
  const root = document?.parseResult.value.$cstNode;
  if (!document || !root) return [];
  const names = new Map(namesIn(site, file)?.uses.map((use) => [use.origin.start.offset, use]));
  const tokens: ColouredToken[] = [];
  for (const leaf of CstUtils.flattenCst(root)) {
    const name = names.get(leaf.offset);
    const kind = name?.kind ?? kindOf(leaf.tokenType.name, leaf.text);
    if (!kind || leaf.length === 0) continue;
    for (const origin of onOneLineEach(document, leaf.offset, leaf.end)) {
      tokens.push({ origin, kind, isDeclaration: name?.isDeclaration ?? false });
    }
  }
  return withoutOverlap(tokens.sort((a, b) => a.origin.start.offset - b.origin.start.offset));
}

const RULES: ReadonlySet<string> = new Set(catalogue.map(({ id }) => id));

function kindOf(type: string, text: string): TokenKind | undefined {
  if (type === "COMMENT") return "comment";
  if (type === "STRING") return "text";
  if (["QUANTITY", "NUMBER", "DATE", "VERSION"].includes(type)) return "number";
  if (KEYWORDS.has(text)) return "keyword";
  if (type !== "ID") return undefined;
  return RULES.has(text) ? "rule" : "word";
}

function onOneLineEach(document: LangiumDocument, start: number, end: number): Origin[] {
  const text = document.textDocument.getText().slice(start, end);
  const stretches = [...text.matchAll(/[^\r\n]+/g)];
  return stretches.map(({ index, 0: { length } }) =>
    originOfRange(document, { offset: start + index, end: start + index + length }),
  );
}

function withoutOverlap(tokens: readonly ColouredToken[]): ColouredToken[] {
  let end = 0;
  return tokens.filter(({ origin }) => {
    const isFree = origin.start.offset >= end;
    if (isFree) end = origin.end.offset;
    return isFree;
  });
}

/** In the order in which they are tried. What is glued together is reported, and is neither a name nor a number. */
const PATTERN_KINDS = {
  GLUED: "unread",
  DATE: "number",
  VERSION: "number",
  QUANTITY: "number",
  NUMBER: "number",
  STRING: "text",
} as const;

/**
 * How the kinds of token look that are coloured without knowing the text, for editors that colour by regular expressions:
 * sources of expressions, to be tried in this order.
 */
export const COLOURED_PATTERNS: readonly {
  readonly kind: "comment" | "text" | "number" | "keyword" | "unread";
  readonly pattern: string;
}[] = [
  { kind: "comment", pattern: "//.*$" },
  ...(Object.keys(PATTERN_KINDS) as (keyof typeof PATTERN_KINDS)[]).map((token) => ({
    kind: PATTERN_KINDS[token],
    pattern: TOKEN_PATTERNS[token]?.source ?? "",
  })),
  // A word of the language is one where it stands alone, not in a name with hyphens.
  { kind: "keyword", pattern: `(?<![\\w-])(?:${[...KEYWORDS].sort().reverse().join("|")})(?![\\w-])` },
];

/** How a name looks: the source of an expression. */
export const NAME_PATTERN = WORD.source;

/** Whether a word belongs to the language, so that nothing can be named by it. */
export function isKeyword(word: string): boolean {
  return KEYWORDS.has(word);
}
