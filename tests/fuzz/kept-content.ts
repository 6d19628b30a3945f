import { Site } from "@limbwright/language";

const TEXT_COMMENT_OR_SPACE = /"(?:\\.|[^"\\\r\n])*"|\/\/[^\r\n]*|\s+/g;

/** The comments of a text in order, without the spaces at their ends. Found without the language's lexer. */
export function commentsOf(text: string): string[] {
  return [...text.matchAll(TEXT_COMMENT_OR_SPACE)]
    .map(([found]) => found.trimEnd())
    .filter((found) => found.startsWith("//"));
}

/** Everything of a text but its comments and the white space outside quotes. */
export function codeOf(text: string): string {
  return text.replace(TEXT_COMMENT_OR_SPACE, (found) => (found.startsWith('"') ? found : ""));
}

const texts = new Map<string, string>();
const site = new Site((file) => texts.get(file));

/** What is read from a text that stands alone: its declarations and problems, but for those of layout, without places. */
export function meaningOf(text: string): unknown {
  texts.set(FILE, text);
  const read = site.file(FILE);
  site.forget(FILE);
  if (!read) throw new Error("the text was not read");
  const { protocols, agents, localRules, scenarios } = read;
  const problems = read.problems
    .filter(({ rule, what }) => rule !== "statement-shares-line" && !what.startsWith(MINUS_WITHOUT_SPACES))
    // Where a problem quotes the text, blanks are layout, too.
    .map(({ rule, what }) => ({ rule, what: what.replace(/\s+/g, "") }));
  return withoutPlaces({ protocols, agents, localRules, scenarios, problems });
}

/** Spaces around a minus are layout: this one problem the formatter puts right. */
const MINUS_WITHOUT_SPACES = "This is read as a minus;";

const FILE = "text.limb";

function withoutPlaces(value: unknown): unknown {
  if (typeof value === "bigint") return `${value}`;
  if (Array.isArray(value)) return value.map(withoutPlaces);
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value).filter(([, held]) => !isPlace(held));
  return Object.fromEntries(entries.map(([key, held]) => [key, withoutPlaces(held)]));
}

function isPlace(value: unknown): boolean {
  return typeof value === "object" && value !== null && "file" in value && "start" in value && "end" in value;
}
