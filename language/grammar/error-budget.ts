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

const MOST_ERRORS = 1_000;

/**
 * The words of another provider, for the first thousand errors of a reading. The parser's recovery works
 * on every error for a while, so a long text that is no protocol could otherwise keep it for minutes.
 */
export class ErrorBudget implements IParserErrorMessageProvider {
  private readonly words: IParserErrorMessageProvider;
  private spent = 0;
  private firstOffset = 0;

  constructor(words: IParserErrorMessageProvider) {
    this.words = words;
  }

  /** Starts the count anew: another text, or the same read again. */
  renew(): void {
    this.spent = 0;
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
    if (this.spent === 0) this.firstOffset = Number.isNaN(place.startOffset) ? 0 : place.startOffset;
    this.spent++;
    if (this.spent > MOST_ERRORS) throw new TooManyErrors(this.firstOffset);
  }
}
