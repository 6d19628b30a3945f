import { thousands } from "@limbwright/shared/quantity";
import type { IRecognitionException, IToken } from "chevrotain";

/** One megabyte: a protocol is a few pages, so a longer file is something else. */
export const MOST_CHARACTERS = 1_000_000;
export const DEEPEST_NESTING = 32;

/** Why a text is not parsed at all, as a parser's error at its place; undefined when it can be. */
export function refusalOf(text: string): IRecognitionException | undefined {
  if (text.length > MOST_CHARACTERS) {
    return refusal(
      0,
      `The file has ${thousands(text.length)} characters; at most 1,000,000 are read.\n` +
        "Split it: one protocol a file, and what several share in files of their own that they `use`.",
    );
  }
  const tooDeep = placeNestedTooDeep(text);
  if (tooDeep === undefined) return undefined;
  return refusal(
    tooDeep,
    `Braces and parentheses are nested deeper than ${DEEPEST_NESTING} here, so the file is not read.\n` +
      "Close the blocks that are still open, or move inner steps to a routine.",
  );
}

const MARKS = /"(?:\\.|[^"\\\r\n])*"|\/\/[^\r\n]*|[{}()]/g;

/** The offset of the first brace or parenthesis that is too deep, outside texts and comments. */
function placeNestedTooDeep(text: string): number | undefined {
  let depth = 0;
  for (const mark of text.matchAll(MARKS)) {
    const character = mark[0];
    if (character === "{" || character === "(") depth++;
    if (character === "}" || character === ")") depth = Math.max(0, depth - 1);
    if (depth > DEEPEST_NESTING) return mark.index;
  }
  return undefined;
}

/** Whether more braces are closed than opened, outside texts and comments. */
export function hasBraceTooMany(text: string): boolean {
  const braces = [...text.matchAll(MARKS)].map(([mark]) => mark);
  return braces.filter((mark) => mark === "}").length > braces.filter((mark) => mark === "{").length;
}

/** A parser's error that stands for a whole file that is not read. */
export function refusal(offset: number, message: string): IRecognitionException {
  const token = { startOffset: offset, endOffset: offset, image: " " } as IToken;
  return {
    name: "Refused",
    message,
    token,
    resyncedTokens: [],
    context: { ruleStack: [], ruleOccurrenceStack: [] },
  };
}
