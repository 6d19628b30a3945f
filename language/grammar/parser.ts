import type { IRecognitionException, IToken } from "chevrotain";
import {
  createLangiumParser,
  type LangiumCoreServices,
  type LangiumParser,
  type ParseResult,
  type ParserOptions,
} from "langium";
import { guessBraces, type MissingBrace } from "./brace-guess.ts";
import type { ErrorBudget } from "./error-budget.ts";
import { LookaheadOnDemand } from "./lookahead.ts";
import { forOneBraceTooMany, isSlipOfItsOwn } from "./parse-error-words.ts";
import { errorAt, hasBraceTooMany, isEnd, refusalOf } from "./refusal.ts";
import type { LimbTokenBuilder } from "./tokens.ts";

/** How many characters may be read again, in all, to set unreadable statements aside. */
const REREADING_BUDGET = 2_000_000;
const MOST_ROUNDS = 40;

/** How many errors may be met, in all readings of a text: recovering from one takes the parser a while. */
const REREADING_ERRORS = 3_000;

/**
 * Langium's parser with another recovery. A statement that cannot be read is set aside, whole, and the
 * text is read again without it: so one slip is one error, and all other statements are understood as if
 * it were not there. What is only missing (a brace, a word) the parser fills in by itself.
 *
 * A text that is too long or nested too deep is not parsed at all: the result is an empty document with
 * one error that says so.
 */
export function createLimbParser(services: LangiumCoreServices): LangiumParser {
  const parser = parserWith(services, false);
  const tokens = services.parser.TokenBuilder as LimbTokenBuilder;
  const errors = services.parser.ParserErrorMessageProvider as ErrorBudget;
  const readCleanly = parser.parse.bind(parser) as LangiumParser["parse"];
  let recovering: LangiumParser | undefined;
  const readOnce = ((text: string, options?: ParserOptions) => {
    errors.renew(text);
    const clean = readCleanly(text, options);
    if (clean.parserErrors.length === 0) return clean;
    recovering ??= parserWith(services, true);
    errors.renew(text);
    return recovering.parse(text, options);
  }) as LangiumParser["parse"];
  parser.parse = ((text: string, options?: ParserOptions) => {
    const refusal = refusalOf(text);
    if (refusal) return { ...readOnce("", options), parserErrors: [refusal] };
    return readSettingAside(text, (places) => tokens.settingAside(places, () => readOnce(text, options)));
  }) as LangiumParser["parse"];
  return parser;
}

/** What recovery needs is worked out when a parser is made: a text without errors need not wait for it. */
function parserWith(services: LangiumCoreServices, recoveryEnabled: boolean): LangiumParser {
  const lookaheadStrategy = new LookaheadOnDemand();
  const config = { ...services.parser.ParserConfig, recoveryEnabled, lookaheadStrategy };
  const parser = Object.create(services.parser, { ParserConfig: { value: config } });
  return createQuickParser(Object.create(services, { parser: { value: parser } }));
}

interface Places {
  readonly unknown: Set<number>;
  readonly junk: Map<number, number>;
  readonly closing: Set<number>;
}

function readSettingAside(text: string, read: (places: Places) => ParseResult): ParseResult {
  const places: Places = { unknown: new Set(), junk: new Map(), closing: new Set() };
  const setAside = mendBraces(text, places);
  const rounds = Math.min(MOST_ROUNDS, Math.floor(REREADING_BUDGET / Math.max(text.length, 1)));
  const first = read(places);
  const hasSurplus = setAside.length === 0 && first.parserErrors.length > 0 && hasBraceTooMany(text);
  const readAgain = () => rewordErrors(hasSurplus, read(places));
  let result = rewordErrors(hasSurplus, first);
  let met = first.parserErrors.length;
  for (let round = 0; round < rounds && met < REREADING_ERRORS; round++) {
    const error = firstToSetAside(text, result.parserErrors);
    if (!error || !addPlace(text, error, places, setAside)) break;
    result = readAgain();
    met += result.parserErrors.length;
  }
  // What is set aside is not read again, so only the first reading has met every unknown character.
  const { lexerErrors } = first;
  return { ...result, lexerErrors, parserErrors: [...setAside, ...result.parserErrors].sort(byPlace) };
}

const TOO_MANY_BY_INDENTATION =
  "This closing brace closes nothing: no open block stands as far in as it does.\n" +
  "Remove it, or find the block above that was closed too early.";

function missingByIndentation({ heading, headingLine, next }: MissingBrace): string {
  const block = heading.length > 40 ? `${heading.slice(0, 39)}…` : heading;
  return (
    `\`${next.word}\` stands no further in than \`${block}\` of line ${headingLine}: a closing brace } is missing ` +
    "before it.\nWrite } on a line of its own before it."
  );
}

/** Where the indentation tells which braces are missing or too many, reads on as if they were mended. */
function mendBraces(text: string, places: Places): IRecognitionException[] {
  const { missing, tooMany } = guessBraces(text) ?? { missing: [], tooMany: [] };
  for (const { offset } of missing) places.closing.add(offset);
  for (const offset of tooMany) places.junk.set(offset, offset + 1);
  return [
    ...missing.map((brace) => errorAt(brace.next.offset, missingByIndentation(brace), brace.next.word)),
    ...tooMany.map((offset) => errorAt(offset, TOO_MANY_BY_INDENTATION)),
  ];
}

/** With a closing brace too many in the file, no word stands where it cannot because one is missing. */
function rewordErrors(hasBraceTooMany: boolean, result: ParseResult): ParseResult {
  if (hasBraceTooMany) {
    for (const error of result.parserErrors) error.message = forOneBraceTooMany(error.message);
  }
  return result;
}

/** The first error of the first statement that was lost: what comes after it there is its consequence. */
function firstToSetAside(
  text: string,
  errors: readonly IRecognitionException[],
): IRecognitionException | undefined {
  const lost = errors.find(lostItsPlace);
  if (!lost) return undefined;
  const start = statementStart(text, culpritOf(lost).startOffset);
  return errors.find((error) => statementStart(text, culpritOf(error).startOffset) === start);
}

/**
 * Whether the parser had to skip text after the error. Where it only filled in a token nothing is lost,
 * unless the words that are there can be nothing but a slip of their own.
 */
function lostItsPlace(error: IRecognitionException): boolean {
  return (
    error.name !== "MismatchedTokenException" ||
    error.resyncedTokens.length > 0 ||
    isSlipOfItsOwn(error.message)
  );
}

/**
 * Sets aside what the error stands in: first the rest of a line that opens a block, up to its brace; if
 * that does not help, or for any other line, the whole statement. False when there is nothing new to try.
 */
function addPlace(
  text: string,
  error: IRecognitionException,
  places: Places,
  setAside: IRecognitionException[],
): boolean {
  const culprit = culpritOf(error);
  const start = statementStart(text, culprit.startOffset);
  const brace = braceThatEndsLine(text, culprit.startOffset);
  const triedJunk = [...places.junk.keys()].some((from) => statementStart(text, from) === start);
  if (brace !== undefined && !triedJunk && culprit.startOffset > start && culprit.startOffset < brace) {
    places.junk.set(culprit.startOffset, brace);
    setAside.push(error);
    return true;
  }
  if (places.unknown.has(start)) return false;
  places.unknown.add(start);
  if (!triedJunk) setAside.push(error);
  return true;
}

/** The token to blame: where a line ended too early, the last one on it. */
export function culpritOf(error: IRecognitionException): IToken {
  const previous = (error as { previousToken?: IToken }).previousToken;
  const isValid = previous !== undefined && !isEnd(previous);
  const atEnd = isEnd(error.token);
  if (!isValid) return error.token;
  return atEnd || (error.token.startLine ?? 0) > (previous.endLine ?? 0)
    ? tokenToBlame(error, previous)
    : error.token;
}

/** A word that no statement of this block starts with is to blame itself, not the line before it. */
function tokenToBlame(error: IRecognitionException, previous: IToken): IToken {
  const isItself = error.message.includes("cannot stand") || isSlipOfItsOwn(error.message);
  return isItself && !isEnd(error.token) ? error.token : previous;
}

/** The offset of the first character on the line that is not white space. */
function statementStart(text: string, offset: number): number {
  const lineStart = Math.max(text.lastIndexOf("\n", offset - 1), text.lastIndexOf("\r", offset - 1)) + 1;
  const indent = /[ \t\u00a0]*/y;
  indent.lastIndex = lineStart;
  const start = lineStart + (indent.exec(text)?.[0].length ?? 0);
  return Math.min(start, offset);
}

function braceThatEndsLine(text: string, offset: number): number | undefined {
  const rest = /[^\r\n]*/y;
  rest.lastIndex = offset;
  const line = (rest.exec(text)?.[0] ?? "").replace(/\/\/.*$/, "").trimEnd();
  return line.endsWith("{") ? offset + line.length - 1 : undefined;
}

function byPlace(a: IRecognitionException, b: IRecognitionException): number {
  return culpritOf(a).startOffset - culpritOf(b).startOffset;
}

/** The part of Langium's builder of syntax trees that puts comments between the tokens. */
interface CommentPlacing {
  addHiddenNodes(tokens: readonly IToken[]): void;
}

/**
 * Rules within rules, where the deepest tree that is read takes some 400. At some 550 the stack overflows, and what Langium does on
 * the way out then fails for another reason, which nobody can tell from a fault.
 */
const DEEPEST_RULE = 450;

/**
 * Langium's parser, which looks for a place for the comments before every token, also where there are
 * none, and in a long block looks long. Where there are none this does nothing. A text that is nested too deep is a `RangeError`.
 */
function createQuickParser(services: LangiumCoreServices): LangiumParser {
  const parser = createLangiumParser(services);
  const { nodeBuilder } = parser as unknown as { readonly nodeBuilder: CommentPlacing };
  const place = nodeBuilder.addHiddenNodes.bind(nodeBuilder);
  nodeBuilder.addHiddenNodes = (comments) => {
    if (comments.length > 0) place(comments);
  };
  refuseDeepRules(parser);
  return parser;
}

function refuseDeepRules(parser: LangiumParser): void {
  const read = parser.subrule.bind(parser);
  let depth = 0;
  parser.subrule = (...given) => {
    if (depth > DEEPEST_RULE) throw new RangeError("rules within rules are too deep");
    depth++;
    try {
      read(...given);
    } finally {
      depth--;
    }
  };
}
