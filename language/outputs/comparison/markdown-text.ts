import { plainCharacters } from "@limbwright/shared/text";
import { sentencePieces } from "./words.ts";

/**
 * A text as Markdown that reads as the text and nothing else: every mark that CommonMark or a merge request would act on is
 * escaped; in what would call a person, name a request or become a link stands a joiner that nobody sees.
 */
export function markdownText(text: string): string {
  return oneLine(text)
    .replace(MARKS, "\\$&")
    .replace(/(@|\\#|:(?=\/\/)|www(?=\\\.)|GH(?=\\-))/gi, `$1${JOINER}`)
    .replace(/^(\s*\d+)([.)])/, "$1\\$2");
}

/** A text word for word, between as many backticks as it needs. */
export function markdownCode(text: string): string {
  const shown = oneLine(text);
  const longest = Math.max(0, ...(shown.match(/`+/g) ?? []).map((one) => one.length));
  const fence = "`".repeat(longest + 1);
  const needsRoom = /^`|`$|^ .* $/.test(shown);
  return needsRoom ? `${fence} ${shown} ${fence}` : `${fence}${shown}${fence}`;
}

/** A sentence, with the names between backticks as code. */
export function markdownSentence(sentence: string): string {
  return sentencePieces(sentence)
    .map(({ text, isName }) => (isName ? markdownCode(text) : markdownText(text)))
    .join("");
}

/** A table. Cells are Markdown already. */
export function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const line = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  return [line(head), line(head.map(() => "---")), ...rows.map(line)];
}

function oneLine(text: string): string {
  return plainCharacters(text).replace(/\s+/g, " ");
}

const MARKS = /[\\`*_{}[\]<>()#+\-.!|~&$^=]/g;

const JOINER = "\u2060";
