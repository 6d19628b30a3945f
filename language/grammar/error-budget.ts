import type { IParserErrorMessageProvider, IToken } from "chevrotain";

/** Thrown out of the parser when it has met more errors than any file with a few slips in it. */
export class TooManyErrors extends Error {
  /** The place of the first of the errors of that reading. */
  readonly offset: number;

  constructor(offset: number) {
    super("too many parse errors");
    this.offset = offset;
  }
}

/** Recovering from an error takes as long as looking through the text, in the worst case. */
const MOST_WORK = 20_000_000;
const MOST_ERRORS = 1_000;
const FEWEST_ERRORS = 20;

/** Words that look at the text around an error, and so have to know the text that is read. */
interface WordsOfAText extends IParserErrorMessageProvider {
  text: string;
}

/**
 * The words of another provider, for the first thousand errors of a reading, or fewer where the text is
 * very long. The parser's recovery looks far ahead at every error, so a long text that is no protocol
 * could otherwise keep it for minutes.
 */
export class ErrorBudget implements IParserErrorMessageProvider {
  private readonly words: WordsOfAText;
  private left = MOST_ERRORS;
  private isFirst = true;
  private firstOffset = 0;

  constructor(words: WordsOfAText) {
    this.words = words;
  }

  /** Starts the count anew: another text, or the same read again. */
  renew(text: string): void {
    this.words.text = text;
    const affordable = Math.floor(MOST_WORK / Math.max(1, text.length));
    this.left = Math.max(FEWEST_ERRORS, Math.min(MOST_ERRORS, affordable));
    this.isFirst = true;
  }

  readonly buildMismatchTokenMessage: IParserErrorMessageProvider["buildMismatchTokenMessage"] = (found) => {
    this.spend(found.actual);
    return this.words.buildMismatchTokenMessage(found);
  };

  readonly buildNotAllInputParsedMessage: IParserErrorMessageProvider["buildNotAllInputParsedMessage"] = (
    found,
  ) => {
    this.spend(found.firstRedundant);
    return this.words.buildNotAllInputParsedMessage(found);
  };

  readonly buildNoViableAltMessage: IParserErrorMessageProvider["buildNoViableAltMessage"] = (found) => {
    this.spend(found.actual[0] ?? found.previous);
    return this.words.buildNoViableAltMessage(found);
  };

  readonly buildEarlyExitMessage: IParserErrorMessageProvider["buildEarlyExitMessage"] = (found) => {
    this.spend(found.actual[0] ?? found.previous);
    return this.words.buildEarlyExitMessage(found);
  };

  private spend(place: IToken): void {
    if (this.isFirst) this.firstOffset = Math.max(0, place.startOffset);
    this.isFirst = false;
    this.left--;
    if (this.left < 0) throw new TooManyErrors(this.firstOffset);
  }
}
