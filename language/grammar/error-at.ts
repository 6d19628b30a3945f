import type { IRecognitionException, IToken } from "chevrotain";

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
