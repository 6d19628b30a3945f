import { thousands } from "@limbwright/shared/quantity";
import type { IRecognitionException, IToken } from "chevrotain";

/** One megabyte: a protocol is a few pages, so a longer file is something else. */
const MOST_CHARACTERS = 1_000_000;
const DEEPEST_NESTING = 32;

/** A printed page has some fifty lines of some hundred characters; what is far beyond is no protocol. */
const MOST_LINES = 60_000;
const LONGEST_LINE = 2_000;
const MOST_BRACES_TOO_MANY = 100;

/** Why a text is not parsed at all, as a parser's error at its place; undefined when it can be. */
export function refusalOf(text: string): IRecognitionException | undefined {
  if (text.length > MOST_CHARACTERS) {
    return errorAt(
      0,
      `The file has ${thousands(text.length)} characters; at most ${thousands(MOST_CHARACTERS)} are read.\n` +
        "Split it: one protocol a file, and what several share in files of their own that they `use`.",
    );
  }
  return refusalOfLines(text) ?? refusalOfBraces(text);
}

function refusalOfLines(text: string): IRecognitionException | undefined {
  let lines = 0;
  for (const { index, 0: line } of text.matchAll(LINES)) {
    if (line.startsWith("\r") || line.startsWith("\n")) lines++;
    if (line.length > LONGEST_LINE) {
      return errorAt(
        index,
        `This line has ${thousands(line.length)} characters; at most ${thousands(LONGEST_LINE)} are read.\n` +
          "Break it after a comma, an operator or a joining word, or shorten its text.",
      );
    }
    if (lines > MOST_LINES) {
      return errorAt(
        index,
        `The file has more than ${thousands(MOST_LINES)} lines, so it is not read.\n` +
          "Split it: one protocol a file.",
      );
    }
  }
  return undefined;
}

const LINES = /[^\r\n]+|\r\n|\n|\r/g;

function refusalOfBraces(text: string): IRecognitionException | undefined {
  const place = placeOfBracesTooMany(text);
  if (!place) return undefined;
  const { offset, isTooDeep } = place;
  if (!isTooDeep) {
    return errorAt(
      offset,
      `More than ${MOST_BRACES_TOO_MANY} closing braces close nothing, so the file is not read.\n` +
        "Remove those that have no opening brace.",
    );
  }
  return errorAt(
    offset,
    `Braces and parentheses are nested deeper than ${DEEPEST_NESTING} here, so the file is not read.\n` +
      "Close the blocks that are still open, or move inner steps to a routine.",
  );
}

const MARKS = /"(?:\\.|[^"\\\r\n])*"|\/\/[^\r\n]*|[{}()]/g;

/** The first brace or parenthesis that is too deep, or one too many that closes nothing. */
function placeOfBracesTooMany(text: string): { offset: number; isTooDeep: boolean } | undefined {
  let depth = 0;
  let tooMany = 0;
  for (const { index, 0: mark } of text.matchAll(MARKS)) {
    if (mark === "{" || mark === "(") depth++;
    if (mark === "}" && depth === 0) tooMany++;
    if (mark === "}" || mark === ")") depth = Math.max(0, depth - 1);
    const isTooDeep = depth > DEEPEST_NESTING;
    if (isTooDeep || tooMany > MOST_BRACES_TOO_MANY) return { offset: index, isTooDeep };
  }
  return undefined;
}

/** Whether more braces are closed than opened, outside texts and comments. */
export function hasBraceTooMany(text: string): boolean {
  const braces = [...text.matchAll(MARKS)].map(([mark]) => mark);
  return braces.filter((mark) => mark === "}").length > braces.filter((mark) => mark === "{").length;
}

/** Whether a token is the one that stands for the end of a text, and for what comes before its first word. */
export function isEnd(token: IToken): boolean {
  return token.startOffset < 0;
}

/** An error like those of the parser, at a word of the text, or at one character. */
export function errorAt(offset: number, message: string, image = " "): IRecognitionException {
  const token = { startOffset: offset, endOffset: offset + image.length - 1, image } as IToken;
  return {
    name: "NotRead",
    message,
    token,
    resyncedTokens: [],
    context: { ruleStack: [], ruleOccurrenceStack: [] },
  };
}
