import type { IParserErrorMessageProvider, IToken, TokenType } from "chevrotain";
import { DefaultLexerErrorMessageProvider } from "langium";
import { closestName } from "../model/spelling.ts";
import { insteadOf, insteadOfFirst } from "./everyday-words.ts";
import { KEYWORDS } from "./generated/keywords.ts";
import { isEnd } from "./refusal.ts";

/** What stands in the way and what to do about it; `parse.ts` takes the two apart at the line break. */
function whatAndNext(what: string, next: string): string {
  return `${what}\n${next}`;
}

const CANNOT_BE_A_NAME = "is a word of the language and cannot be a name.";

/** What a rule of the grammar reads, in the author's words; asked for where several things could follow. */
const EXPECTED_BY_RULE: Readonly<Record<string, string>> = {
  Measured: "a number with its unit, such as `30 min` or `3 mg/kg`",
  AtHandItem: "the name of an agent, or a text in quotes",
  Term: "an amount, such as `3 mg/kg`, `200 mg` or `lesser of 3 mg/kg and 200 mg`",
  Range: "a range, such as `45 to 130 kg`, `under 50 kg` or `60 kg and over`",
  Status: '`draft`, `in-review`, `approved by "role" on DATE` or `retired`',
  Inflate: "the name of a cuff, or `all`",
  Deflate: "the name of a cuff, or `all`",
  Confirm: "the name of a cuff, `all`, or `no pulse`",
  Exsanguinate: "`bandage`, `elevation 1 min` or `arterial-compression 1 min`",
  Wait: "a time such as `5 min`, or `for` and a timer",
  Moment: "`start of`, `end of`, `first inflation` or `release`",
  Choice: "`lesser of A and B` or `greater of A and B`",
  Step: "a step, such as `inflate distal`",
  Action: "a step, such as `inject local` or `confirm distal`",
  Property: "`never …`, or a step with `only when`, `only after` or `within`",
  Negation: "a condition, such as `distal up`, `bandage off` or `since end of local under 5 min`",
  Comparison: "`under`, `over`, `at least` or `at most` with a time",
  Setting: "a value with its unit, or a word",
  Element: "the start of a statement, such as `agent`, `protocol`, `routine` or `local-rules`",
};

const EXPECTED_BY_TOKEN: Readonly<Record<string, string>> = {
  ID: "a name",
  STRING: "a text in quotes",
  DATE: "a date written year-month-day, such as `2027-06-30`",
  QUANTITY: "a number with its unit, such as `30 min`",
  NUMBER: "a number",
  VERSION: "a version such as `1.4.0`",
};

/** Names are asked for with what they stand for, where a rule of the grammar reads one name alone. */
const NAME_BY_RULE: Readonly<Record<string, string>> = {
  Inject: "the name of a dose",
  Give: "the name of a dose",
  Do: "the name of a routine",
  GoToEmergency: "the name of an emergency",
};

const COMPLETE_BY_RULE: Readonly<Record<string, string>> = {
  Dose: "Write the dose's own name, `of` and its agent, as in `dose local of lidocaine {`.",
  Timer: "Write the timer's name, `from` and a moment, as in `timer hold from end of local {`.",
};

/** Rules of the grammar that read one of several statements. */
const STATEMENTS: ReadonlySet<string> = new Set([
  "Element",
  "Section",
  "Step",
  "AgentProperty",
  "CuffEntry",
  "DoseEntry",
  "PrepareItem",
]);

/** How a statement goes on after its first word, where that can be in several ways. */
const SHAPES: Readonly<Record<string, string>> = {
  when: "Write `when EVENT {`, as in `when tourniquet-pain once {`, or `when TIMER reaches 45 min {`. A name is one word, with hyphens.",
  remove: "Write `remove bandage` or `remove cannula`.",
  confirm: "Write `confirm` and the name of a cuff, `confirm all` or `confirm no pulse`.",
};

const COMPARE =
  "Compare the line with an example of the same statement, and mend or remove what follows the word before.";

/** The name of a rule in the grammar; Langium puts a mark before it that cannot be seen. */
function plainRule(name: string): string {
  return name.replace("\u200b", "");
}

function wordsForExpected(rule: string, token: string, previous: IToken): string | undefined {
  if (rule === "Measured" && COUNTED.has(previous.image)) return "a number without a unit, such as `2`";
  if (rule === "Deflate" && token === "" && previous.image === "for")
    return "a time such as `10 s`, or `emergency`";
  if (token === "ID" && NAME_BY_RULE[rule]) return NAME_BY_RULE[rule];
  return token === "" ? EXPECTED_BY_RULE[rule] : EXPECTED_BY_TOKEN[token];
}

const COUNTED: ReadonlySet<string> = new Set(["staff", "repeat"]);

/** The words for what Chevrotain's parser could not read: the likely intent, never a list of tokens. */
export class LimbParserWords implements IParserErrorMessageProvider {
  /** The text that is read. While the parser recovers, the token it calls the previous one can be a later one. */
  text = "";

  buildMismatchTokenMessage(found: {
    expected: TokenType;
    actual: IToken;
    previous: IToken;
    ruleName: string;
  }): string {
    const { expected, actual, previous } = found;
    const rule = plainRule(found.ruleName);
    if (actual.image === ".") return fullStop(previous);
    if (expected.name === "}") return missingClosingBrace(actual, placeIn(this.text, actual));
    if (expected.name === "{") return missingOpeningBrace(actual, previous);
    if (rule === "Deflate" && previous.image === "for" && actual.tokenType.name === "QUANTITY") {
      return whatAndNext(
        "One cuff alone is not let down for a time; `all` can be.",
        `Write \`deflate all for ${actual.image}\`, which brings the same cuffs up again, or leave out \`for ${actual.image}\`.`,
      );
    }
    const named = wordsForExpected(rule, expected.name, previous);
    if (expected.name === "ID" && isKeyword(actual) && !startsNewLine(actual, previous)) {
      return whatAndNext(
        `${quoteToken(actual)} ${CANNOT_BE_A_NAME}`,
        insteadOf(actual.image, previous.image) ?? "Choose another name, in lower case with hyphens.",
      );
    }
    if (expected.name === "STRING" && isName(previous)) return missingQuotes(actual, previous);
    if (named) return missing(named, actual, previous);
    if (isNear(actual.image, expected.name)) {
      return whatAndNext(`${quoteToken(actual)} is not known here.`, `Did you mean \`${expected.name}\`?`);
    }
    return missing(`\`${expected.name}\``, actual, previous, COMPLETE_BY_RULE[rule]);
  }

  buildNotAllInputParsedMessage({ firstRedundant }: { firstRedundant: IToken }): string {
    return whatAndNext(
      `${quoteToken(firstRedundant)} cannot stand here.`,
      "A statement starts on its own line with a word of the language; a text or a number follows such a word.",
    );
  }

  buildNoViableAltMessage(found: {
    expectedPathsPerAlt: TokenType[][][];
    actual: IToken[];
    previous: IToken;
    ruleName: string;
  }): string {
    const actual = found.actual[0] ?? found.previous;
    const keywords = found.expectedPathsPerAlt
      .flat(2)
      .map((token) => token.name)
      .filter(isWord);
    const near = isWord(actual.image) && !isKeyword(actual) ? closestName(actual.image, keywords) : undefined;
    if (near) return whatAndNext(`${quoteToken(actual)} is not known here.`, `Did you mean \`${near}\`?`);
    if (actual.image === "-" && plainRule(found.ruleName).startsWith("Range")) {
      return whatAndNext(
        "A range is written with `to`, not with a dash.",
        "Write `to`, as in `45 to 130 kg`.",
      );
    }
    const rule = plainRule(found.ruleName);
    if (STATEMENTS.has(rule) && isKeyword(actual) && startsNewLine(actual, found.previous)) {
      return whatAndNext(`${quoteToken(actual)} ${LINE_NOT_UNDERSTOOD}`, SHAPES[actual.image] ?? COMPARE);
    }
    const expected = wordsForExpected(rule, "", found.previous);
    if (expected) return missing(expected, actual, found.previous);
    return whatAndNext(
      `${isEnd(actual) ? "The file ends" : `${quoteToken(actual)} does not fit`} after ${quoteToken(found.previous)}.`,
      COMPARE,
    );
  }

  buildEarlyExitMessage(found: { previous: IToken; actual: IToken[] }): string {
    const actual = found.actual[0] ?? found.previous;
    return whatAndNext(
      `${quoteToken(actual)} does not fit after ${quoteToken(found.previous)}.`,
      "Complete the line before it.",
    );
  }
}

/** After a unit a full stop can be taken for a digit; after anything else it is left over from a sentence. */
function fullStop(previous: IToken): string {
  return whatAndNext(`No full stop follows ${quoteToken(previous)}.`, "Remove the full stop.");
}

function missingOpeningBrace(actual: IToken, previous: IToken): string {
  if (actual.tokenType.name === "QUANTITY" && !startsNewLine(actual, previous)) {
    return whatAndNext(
      `${quoteToken(actual)} does not fit after ${quoteToken(previous)}.`,
      `A concentration is written with \`at\`: \`at ${actual.image}\`. Other values stand in the block, after { at the end of the line.`,
    );
  }
  return whatAndNext(
    `An opening brace { is missing after ${quoteToken(previous)}.`,
    "Write { at the end of the line, and } on a line of its own after the last statement of the block.",
  );
}

function missingQuotes(actual: IToken, previous: IToken): string {
  return whatAndNext(
    `After ${quoteToken(previous)} should come a text in quotes${startsNewLine(actual, previous) ? "" : `, not ${quoteToken(actual)}`}.`,
    `Write a text in straight quotes, as in \`"${previous.image}"\`.`,
  );
}

/** What stands before a token on its line. */
interface PlaceOnLine {
  readonly before: string;
  readonly startsStatement: boolean;
}

function placeIn(text: string, token: IToken): PlaceOnLine {
  const end = isEnd(token) ? 0 : token.startOffset;
  const line = /[^\r\n]*$/.exec(text.slice(Math.max(0, end - MOST_OF_A_LINE), end))?.[0] ?? "";
  const before = /[^\s{}]+(?:\s*)$/.exec(line)?.[0].trim() ?? "";
  return { before, startsStatement: before === "" };
}

/** How far back a line is looked at. */
const MOST_OF_A_LINE = 2_000;

function missingClosingBrace(actual: IToken, { before, startsStatement }: PlaceOnLine): string {
  if (isEnd(actual)) {
    return whatAndNext(
      "A closing brace } is missing: the file ends inside a block.",
      "Write } on a line of its own after the last statement of the block.",
    );
  }
  if (actual.image === "{") {
    return whatAndNext(
      "This opening brace belongs to no statement.",
      "Remove it with its closing brace, or write the words that it belongs to in front of it.",
    );
  }
  const everyday = startsStatement ? insteadOfFirst(actual.image) : undefined;
  if (everyday) return whatAndNext(`${quoteToken(actual)} ${CANNOT_STAND}.`, everyday);
  if (!startsStatement || !isKeyword(actual) || JOINING_WORDS.has(actual.image))
    return doesNotGoOn(actual, before);
  return whatAndNext(
    `${quoteToken(actual)} ${CANNOT_STAND}, or the block's closing brace } is missing before it.`,
    "Write } before it if the block ends there; otherwise mend or remove the words.",
  );
}

/** Words that join the parts of a statement, alone or as the first of two or three. */
const JOINING = [
  "up to",
  "rounded down to",
  "or more",
  "to",
  "and",
  "of",
  "takes",
  "times",
  "every",
  "because",
];

const JOINING_WORDS: ReadonlySet<string> = new Set([
  ...JOINING.flatMap((phrase) => phrase.split(" ")),
  "until",
  "reaches",
  "once",
]);

/** No statement starts with these words, and they do not go on with what stands before them. */
function doesNotGoOn(actual: IToken, before: string): string {
  const everyday = insteadOf(actual.image, before);
  if (everyday) return whatAndNext(`${quoteToken(actual)} ${NOT_PART_OF_IT}`, everyday);
  if (actual.image === "and") {
    return whatAndNext(
      `${quoteToken(actual)} ${NOT_PART_OF_IT}`,
      "`lesser of` and `greater of` take two amounts; put parentheses for more: `lesser of A and (lesser of B and C)`.",
    );
  }
  const near = isKeyword(actual) ? undefined : joiningNear(actual.image);
  return whatAndNext(
    `${quoteToken(actual)} ${NOT_PART_OF_IT}`,
    near ? `Did you mean \`${near}\`?` : repairOfTheRest(actual, before),
  );
}

function joiningNear(written: string): string | undefined {
  return JOINING.find((phrase) => phrase.replaceAll(" ", "") === written) ?? closestName(written, JOINING);
}

function repairOfTheRest(actual: IToken, before: string): string {
  if (isName(actual) && isWord(before) && !KEYWORDS.has(before)) {
    return `If the two words are one name, join them: \`${before}-${actual.image}\`. Otherwise mend or remove the words from there on.`;
  }
  if (isKeyword(actual) && !JOINING_WORDS.has(actual.image)) {
    return "If another statement starts there, write it on a line of its own; otherwise mend or remove the words.";
  }
  return "Mend or remove the words from there to the end of the line.";
}

const NOT_PART_OF_IT = "does not fit here, so the line is not understood.";

/** Whether a message is about words that are wrong where they stand, and not about something missing before them. */
export function isSlipOfItsOwn(message: string): boolean {
  return [NOT_PART_OF_IT, CANNOT_BE_A_NAME, CLOSED_TOO_EARLY, LINE_NOT_UNDERSTOOD].some((part) =>
    message.includes(part),
  );
}

const LINE_NOT_UNDERSTOOD = "starts a line that is not understood.";
const CANNOT_STAND = "cannot stand in this block";
const CLOSED_TOO_EARLY = "a closing brace } too many before it may have ended its own block";

/** Whether a message says that a block was closed too early. */
export function isSlipOfABrace(message: string): boolean {
  return message.includes(CLOSED_TOO_EARLY);
}

/** The words for a file with more closing than opening braces: none is missing, there is one too many. */
export function forOneBraceTooMany(message: string): string {
  const [what = message] = message.split("\n");
  if (!what.includes(CANNOT_STAND)) return message;
  const upTo = what.slice(0, what.indexOf(CANNOT_STAND) + CANNOT_STAND.length);
  return whatAndNext(
    `${upTo}; ${CLOSED_TOO_EARLY}.`,
    "Remove that brace; otherwise mend or remove the words.",
  );
}

function missing(
  expected: string,
  actual: IToken,
  previous: IToken,
  next = insteadOf(actual.image, previous.image),
): string {
  const what = `After ${quoteToken(previous)} should come ${expected}`;
  if (isEnd(actual) || startsNewLine(actual, previous)) {
    return whatAndNext(`${what}, but the line ends there.`, next ?? `Complete the line with ${expected}.`);
  }
  return whatAndNext(`${what}, not ${quoteToken(actual)}.`, next ?? `Write ${expected} there.`);
}

function startsNewLine(actual: IToken, previous: IToken): boolean {
  const isLower = !isEnd(previous) && (actual.startLine ?? 0) > (previous.endLine ?? 0);
  return isLower || actual.image === "}" || actual.image === "{";
}

/** A word of the language: Langium names a keyword's token after the word itself. */
function isKeyword(token: IToken): boolean {
  return token.tokenType.name === token.image && isWord(token.image);
}

/** A name, or what may have been meant as one: a word that is not of the language. */
function isName(token: IToken): boolean {
  return token.tokenType.name === "ID";
}

function isWord(text: string): boolean {
  return /^[a-z][a-z-]*$/i.test(text) && !(text in EXPECTED_BY_TOKEN) && text !== "EOF" && text !== "UNKNOWN";
}

function isNear(written: string, expected: string): boolean {
  return isWord(written) && closestName(written, [expected]) !== undefined;
}

function quoteToken(token: IToken): string {
  if (isEnd(token) || token.image === "") return "the end of the file";
  const [line = ""] = token.image.split(/\r?\n/);
  return `\`${line.length > 40 ? `${line.slice(0, 39)}…` : line}\``;
}

/** The words for characters that belong to nothing in the language. */
export class LimbLexerWords extends DefaultLexerErrorMessageProvider {
  override buildUnexpectedCharactersMessage(fullText: string, startOffset: number, length: number): string {
    const characters = fullText.slice(startOffset, startOffset + Math.min(length, 20));
    if (/[\u2212\u2013\u2014]/.test(characters)) {
      return whatAndNext(
        `The dash \`${characters}\` is not the minus sign of the language.`,
        "Write - with a space on both sides for minus, or `to` for a range.",
      );
    }
    const instead = insteadOf(characters, "");
    if (instead) return whatAndNext(`\`${characters}\` is no sign of the language.`, instead);
    return whatAndNext(
      `\`${characters}\` belongs to nothing in the language.`,
      "Remove it. Names take the letters a to z, digits and hyphens; other text stands in quotes.",
    );
  }

  override buildUnableToPopLexerModeMessage(): string {
    return whatAndNext("This cannot be read.", "Remove it.");
  }
}
