import type { CustomPatternMatcherFunc, IToken, TokenType, TokenVocabulary } from "chevrotain";
import { DefaultTokenBuilder, type GrammarAST, type TokenBuilderOptions } from "langium";

/**
 * A number as written, right or wrong: "0.5", but also "0,5", "1,000", "1 000", ".5" and "5.", which are
 * read for what they mean and reported with the right spelling.
 */
const NUMBER =
  "(?:\\d{1,3}(?:[ \\u00a0\\u2009\\u202f]\\d{3})+(?![\\d.,])|\\d+(?:[.,]\\d+)*(?:\\.(?!\\d))?|\\.\\d+)";

/** Words that may follow a bare number on its line; any other word there is taken for its unit. */
const AFTER_A_NUMBER =
  "to|times|and|or|up|by|takes|of|in|for|because|until|on|" +
  "rounded|under|over|every|if|not|is|due|allowed|refused|happens|ends|once";

/** A unit, or what stands in the place of one: a percent sign or words joined by "/". */
const UNIT_WORD = "[A-Za-z\\u00b5\\u03bc]+(?:\\[[A-Za-z]+\\])?";
const UNIT = `(?:%|mm[ \\t]Hg(?![A-Za-z])|${UNIT_WORD}(?:/${UNIT_WORD})*)`;
const NOT_A_WORD_AFTER_A_NUMBER = `(?!(?:${AFTER_A_NUMBER})(?![\\w-]))`;

/**
 * A text in straight or curly quotes. One that is not closed ends at the line's end, or before an
 * opening brace there, so that the block it introduces is still understood.
 */
const STRING =
  '"(?:\\\\.|[^"\\\\\\r\\n])*"|[\\u201c\\u201d\\u201e](?:[^\\u201c\\u201d\\r\\n])*[\\u201c\\u201d]|["\\u201c\\u201e][^\\r\\n{]*';

export const TOKEN_PATTERNS: Readonly<Record<string, RegExp>> = {
  GLUED: new RegExp(
    `(?:systolic|occlusion-pressure|weight|age|circumference)-${NUMBER}[ \\t\\u00a0]*(?:${UNIT})?`,
  ),
  DATE: /\d{4}-\d{2}-\d{2}(?![\w-])/,
  VERSION: /\d+\.\d+\.\d+(?![\w.])/,
  QUANTITY: new RegExp(`${NUMBER}[ \\t\\u00a0]*${NOT_A_WORD_AFTER_A_NUMBER}${UNIT}`),
  NUMBER: new RegExp(NUMBER),
  STRING: new RegExp(STRING),
};

const DIGITS = "0123456789";

/** The characters with which a token can start: the lexer then tries only what can match at a place. */
const STARTS: Readonly<Record<string, string>> = {
  GLUED: "soawc",
  DATE: DIGITS,
  VERSION: DIGITS,
  QUANTITY: `${DIGITS}.`,
  NUMBER: `${DIGITS}.`,
  STRING: '"\u201c\u201d\u201e',
  ID: "ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz",
  COMMENT: "/",
};

/** A character of each group in which the lexer sorts them: one by one up to 255, then by about 256. */
const ANY_START = Array.from({ length: 767 }, (_, index) =>
  index < 256 ? index : Math.min((index - 254) * 128, 65_535),
);

/** Tokens in the order in which they are tried: a longer reading stands before a shorter one. */
const BEFORE_KEYWORDS = [
  "SKIPPED",
  "}",
  "UNKNOWN",
  "GLUED",
  "DATE",
  "VERSION",
  "QUANTITY",
  "NUMBER",
  "STRING",
];

/** A line that ends in one of these goes on: the next line does not start a statement. */
const LINE_GOES_ON =
  /^(?:[,+=(-]|and|or|not|of|to|by|with|from|for|is|when|in|on|as|because|until|under|over|after|before|within|since|never|only)$/;

export const WORD = /[A-Za-z_][A-Za-z0-9_]*(?:-[A-Za-z0-9_]+)*/y;

/**
 * What a first reading could not understand, by offset: statements to read as unknown, junk inside a line
 * to leave out (from an offset to another), and white space to read as a closing brace that is missing.
 */
export interface SetAside {
  readonly unknown: ReadonlySet<number>;
  readonly junk: ReadonlyMap<number, number>;
  readonly closing: ReadonlySet<number>;
}

const NOTHING_SET_ASIDE: SetAside = { unknown: new Set(), junk: new Map(), closing: new Set() };

/** Builds the tokens of the grammar, with quantities as one token and unknown statements as one token. */
export class LimbTokenBuilder extends DefaultTokenBuilder {
  private setAside: SetAside = NOTHING_SET_ASIDE;

  /** Reads with some places set aside; `read` must be done with the lexer when it returns. */
  settingAside<T>(places: SetAside, read: () => T): T {
    this.setAside = places;
    try {
      return read();
    } finally {
      this.setAside = NOTHING_SET_ASIDE;
    }
  }

  /** A name may go on where a keyword ends. Langium tries every terminal, at every start. */
  protected override findLongerAlt(keyword: GrammarAST.Keyword, terminals: TokenType[]): TokenType[] {
    return /^[a-z]/.test(keyword.value) ? terminals.filter((token) => token.name === "ID") : [];
  }

  override buildTokens(grammar: GrammarAST.Grammar, options?: TokenBuilderOptions): TokenVocabulary {
    const tokens = super.buildTokens(grammar, options) as TokenType[];
    const keywords = new Set(tokens.map((token) => token.name).filter((name) => /^[a-z]/.test(name)));
    for (const token of tokens) refine(token, keywords, () => this.setAside);
    const first = BEFORE_KEYWORDS.map((name) => tokens.find((token) => token.name === name)).filter(
      (token) => token !== undefined,
    );
    return [...first, ...tokens.filter((token) => !first.includes(token))];
  }
}

function refine(token: TokenType, keywords: ReadonlySet<string>, setAside: () => SetAside): void {
  if (token.name === "UNKNOWN" || token.name === "SKIPPED") {
    token.PATTERN = token.name === "UNKNOWN" ? unknownStatement(keywords, setAside) : matchJunk(setAside);
    token.LINE_BREAKS = true;
    token.START_CHARS_HINT = ANY_START;
    return;
  }
  if (token.name === "}") {
    token.PATTERN = closingBrace(setAside);
    token.LINE_BREAKS = true;
    token.START_CHARS_HINT = [..."} \t\r\n"];
    return;
  }
  const starts = STARTS[token.name];
  if (starts) token.START_CHARS_HINT = [...starts];
  const pattern = TOKEN_PATTERNS[token.name];
  if (!pattern) return;
  token.PATTERN = pattern;
  token.LINE_BREAKS = false;
}

/**
 * Matches a whole statement that starts with a word the language does not know, to the end of its line
 * or, where the line opens a block, to that block's closing brace. Read as one token, it leaves
 * everything around it understood.
 */
function unknownStatement(keywords: ReadonlySet<string>, setAside: () => SetAside): CustomPatternMatcherFunc {
  return (text, offset, matched) => {
    if (setAside().unknown.has(offset)) return matchTo(endOfStatement(text, offset), text, offset);
    if (!isLetter(text, offset) || !startsStatement(text, offset, matched)) return null;
    WORD.lastIndex = offset;
    const word = WORD.exec(text)?.[0];
    if (!word || keywords.has(word)) return null;
    return matchTo(endOfStatement(text, offset), text, offset);
  };
}

function closingBrace(setAside: () => SetAside): CustomPatternMatcherFunc {
  return (text, offset) => {
    const character = text[offset] ?? "";
    return character === "}" || setAside().closing.has(offset) ? matchTo(offset + 1, text, offset) : null;
  };
}

function matchJunk(setAside: () => SetAside): CustomPatternMatcherFunc {
  return (text, offset) => {
    const end = setAside().junk.get(offset);
    return end === undefined ? null : matchTo(end, text, offset);
  };
}

/**
 * A match from `offset` to `end`; none where that is empty, as before a stray brace: the lexer would try the
 * same place for ever. Chevrotain reads the first element alone of what a pattern function returns.
 */
function matchTo(end: number, text: string, offset: number): RegExpExecArray | null {
  if (end <= offset) return null;
  const image = text.slice(offset, end);
  return Object.assign([image], { index: 0, input: image }) as unknown as RegExpExecArray;
}

function isLetter(text: string, offset: number): boolean {
  return /[A-Za-z_]/.test(text[offset] ?? "");
}

function startsStatement(text: string, offset: number, matched: IToken[]): boolean {
  const previous = matched[matched.length - 1];
  if (!previous) return true;
  if (previous.tokenType.name === "{" || previous.tokenType.name === "}") return true;
  if (LINE_GOES_ON.test(previous.image)) return false;
  const end = previous.endOffset ?? previous.startOffset;
  for (let index = end + 1; index < offset; index++) {
    if (text[index] === "\n" || text[index] === "\r") return true;
  }
  return false;
}

/** The offset after the statement's line, or after the brace that closes what the line opens. */
function endOfStatement(text: string, offset: number): number {
  const line = /[^\r\n]*/y;
  line.lastIndex = offset;
  const lineEnd = offset + (line.exec(text)?.[0].length ?? 0);
  let depth = 0;
  for (let index = offset; index < text.length; index++) {
    index = afterTextOrComment(text, index);
    if (index >= lineEnd && depth === 0) return trimEnd(text, offset, lineEnd);
    const character = text[index];
    if (character === "{") depth++;
    if (character === "}") {
      depth--;
      if (depth < 0) return trimEnd(text, offset, index);
      if (depth === 0) return index + 1;
    }
  }
  return trimEnd(text, offset, lineEnd);
}

/** Where a quoted text or a comment starts at `index`, the offset of its last character's successor. */
function afterTextOrComment(text: string, index: number): number {
  const quotedOrComment = /"(?:\\.|[^"\\\r\n])*"?|\/\/[^\r\n]*/y;
  quotedOrComment.lastIndex = index;
  const skipped = quotedOrComment.exec(text);
  return skipped ? index + skipped[0].length : index;
}

function trimEnd(text: string, from: number, to: number): number {
  let end = to;
  while (end > from && /\s/.test(text[end - 1] ?? "")) end--;
  return end;
}
