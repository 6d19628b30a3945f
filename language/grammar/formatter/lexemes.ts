import type { IToken } from "chevrotain";
import type { Lexer } from "langium";

/** A token or a comment of a text, in the spelling in which it is printed. */
export interface Lexeme {
  /** The token's name in the grammar; "COMMENT" for a comment. */
  readonly type: string;
  readonly image: string;
  readonly offset: number;
  /** How many line breaks stand between the lexeme before and this one. */
  readonly breaksBefore: number;
}

export function isComment(lexeme: Lexeme): boolean {
  return lexeme.type === "COMMENT";
}

/** Every token and comment in the order of the text. Throws nothing away but white space. */
export function lexemesOf(text: string, lexer: Lexer): Lexeme[] {
  const { tokens, hidden } = lexer.tokenize(text);
  let end = 0;
  return inOrder(tokens, hidden).map((token) => {
    const breaksBefore = breaksIn(text.slice(end, token.startOffset));
    end = token.startOffset + token.image.length;
    return { type: token.tokenType.name, image: printToken(token), offset: token.startOffset, breaksBefore };
  });
}

/** The first lexeme of `before` that is not the same in `after`; undefined where all content is the same. */
export function sameContent(before: readonly Lexeme[], after: readonly Lexeme[]): Lexeme | undefined {
  return (
    firstDifference(before.filter(isComment), after.filter(isComment)) ??
    firstDifference(
      before.filter((lexeme) => !isComment(lexeme)),
      after.filter((lexeme) => !isComment(lexeme)),
    )
  );
}

function firstDifference(before: readonly Lexeme[], after: readonly Lexeme[]): Lexeme | undefined {
  if (after.length > before.length) return before.at(-1) ?? after[0];
  return before.find((lexeme, index) => {
    const other = after[index];
    return other?.type !== lexeme.type || other.image !== lexeme.image;
  });
}

/** Comments come apart from tokens; both are in order already. */
function inOrder(tokens: readonly IToken[], comments: readonly IToken[]): IToken[] {
  const merged: IToken[] = [];
  let next = 0;
  for (const token of tokens) {
    for (; next < comments.length; next++) {
      const comment = comments[next];
      if (!comment || comment.startOffset > token.startOffset) break;
      merged.push(comment);
    }
    merged.push(token);
  }
  return [...merged, ...comments.slice(next)];
}

function breaksIn(space: string): number {
  return space.match(/\r\n|\r|\n/g)?.length ?? 0;
}

const NUMBER_AND_UNIT = /^([\d.,]+)[ \t\u00a0]*(.+)$/;

/** Exactly one space between a number and its unit; the digits and the unit's letters stay as written. */
function printToken(token: IToken): string {
  switch (token.tokenType.name) {
    case "QUANTITY":
      return token.image.replace(NUMBER_AND_UNIT, "$1 $2").replace("\t", " ");
    case "GLUED":
    case "COMMENT":
      return token.image.trimEnd();
    default:
      return token.image;
  }
}
