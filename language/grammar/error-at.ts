import type { IRecognitionException, IToken } from "chevrotain";

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
