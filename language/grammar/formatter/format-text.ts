import type { Place } from "@limbwright/shared/finding";
import type { AstNode, LangiumCoreServices, Lexer, ParseResult } from "langium";
import { isStrayBrace, isUnknown } from "../generated/ast.ts";
import { createLimbServices } from "../module.ts";
import { nodesIn } from "../nodes.ts";
import { culpritOf } from "../parser.ts";
import { refusalOf } from "../refusal.ts";
import { isUnclosed } from "../texts.ts";
import { textOfLines } from "./alignment.ts";
import { layOut } from "./layout.ts";
import { type Lexeme, lexemesOf, sameContent } from "./lexemes.ts";
import { statementsOf } from "./statements.ts";

/** A text in the one layout of the language, or why and where it was left as it is. */
export type FormatResult =
  | { readonly kind: "formatted"; readonly text: string }
  | { readonly kind: "refused"; readonly reason: string; readonly place: Place };

/**
 * Lays a text out: two spaces a level, one statement a line, values of neighbouring lines in columns.
 * Only white space changes, and within a quantity only the space before its unit; every comment stays.
 * The author's blank lines (one at a time) and line breaks inside a statement stay too. Line ends are
 * those of the text's first line (CRLF or LF), a byte order mark is dropped.
 *
 * A text that cannot be read in full is refused, because its structure is then a guess.
 */
export function formatText(text: string): FormatResult {
  const limb = parserServices();
  const parsed = limb.parser.LangiumParser.parse(text);
  const unreadable = firstUnreadable(text, parsed);
  if (unreadable) return refuse(text, unreadable.offset, unreadable.reason);
  const lexemes = lexemesOf(text, limb.parser.Lexer);
  const unclosed = lexemes.find(isUnclosedText);
  if (unclosed) return refuse(text, unclosed.offset, "This text has no closing quote on its line.");
  const lines = textOfLines(layOut(lexemes, statementsOf(parsed.value)));
  const lineEnd = lineEndOf(text);
  const formatted = lines.map((line) => line + lineEnd).join("");
  return check(text, lexemes, formatted, limb.parser.Lexer);
}

let services: LangiumCoreServices | undefined;

/** Made on first use and kept: building the parser takes longer than formatting a protocol. */
function parserServices(): LangiumCoreServices {
  services ??= createLimbServices().limb;
  return services;
}

/** The last guard: what was laid out must read as exactly the same tokens and comments. */
function check(text: string, lexemes: readonly Lexeme[], formatted: string, lexer: Lexer): FormatResult {
  const tooLong = refusalOf(formatted);
  if (tooLong) {
    return refuse(text, 0, "Laid out, the file would be too long or nested too deep to be read again.");
  }
  const difference = sameContent(lexemes, lexemesOf(formatted, lexer));
  if (difference === undefined) return { kind: "formatted", text: formatted };
  return refuse(text, difference.offset, "Laid out, this place would not read as it does now.");
}

interface Unreadable {
  readonly offset: number;
  readonly reason: string;
}

function firstUnreadable(text: string, parsed: ParseResult): Unreadable | undefined {
  const errors: Unreadable[] = parsed.lexerErrors.map(({ offset, message }) => ({ offset, reason: message }));
  for (const error of parsed.parserErrors) {
    const { startOffset } = culpritOf(error);
    errors.push({ offset: startOffset < 0 ? text.length : startOffset, reason: error.message });
  }
  return errors.sort((a, b) => a.offset - b.offset)[0] ?? firstUnread(parsed.value);
}

/** What the parser takes in without an error, but nobody understands. */
function firstUnread(root: AstNode): Unreadable | undefined {
  for (const node of nodesIn(root)) {
    const offset = node.$cstNode?.offset ?? 0;
    if (isUnknown(node)) return { offset, reason: "This does not start any statement of the language." };
    if (isStrayBrace(node)) return { offset, reason: "This closing brace closes nothing." };
  }
  return undefined;
}

function isUnclosedText(lexeme: Lexeme): boolean {
  return lexeme.type === "STRING" && isUnclosed(lexeme.image);
}

function refuse(text: string, offset: number, reason: string): FormatResult {
  return { kind: "refused", reason: reason.replace("\n", " "), place: placeAt(text, offset) };
}

function placeAt(text: string, offset: number): Place {
  const lines = text.slice(0, offset).split(/\r\n|\r|\n/);
  return { line: lines.length, column: (lines.at(-1)?.length ?? 0) + 1, offset };
}

function lineEndOf(text: string): string {
  return /\r\n|\n|\r/.exec(text)?.[0] === "\r\n" ? "\r\n" : "\n";
}
