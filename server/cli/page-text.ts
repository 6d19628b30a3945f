import { wrap } from "@limbwright/language";
import type { Stream } from "./surroundings.ts";

/** A page written in Markdown as plain text for a terminal: headings, paragraphs, lists, examples, tables. */
export function pageText(page: string, { hasColour, columns }: Stream): string {
  const strong = (text: string) => (hasColour ? `\u001b[1m${text}\u001b[0m` : text);
  const blocks = blocksOf(page).map((block) => blockLines(block, columns, strong));
  return `${blocks.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

/** Paragraphs, and examples in one piece although they hold empty lines. */
function blocksOf(page: string): string[] {
  return page.match(/^```[\s\S]*?^```$|^\S(?:.+\n?(?!```))*/gm)?.map((block) => block.trimEnd()) ?? [];
}

function blockLines(block: string, columns: number, strong: (text: string) => string): string[] {
  if (block.startsWith("```")) return exampleLines(block);
  if (block.startsWith("#")) return [strong(block.replace(/^#+\s*/, ""))];
  if (block.startsWith("|")) return block.split("\n");
  if (/^[-*] /.test(block)) return listLines(block, columns);
  return wrap(spoken(block), columns);
}

function exampleLines(block: string): string[] {
  const lines = block.split("\n").slice(1, -1);
  return lines.map((line) => `    ${line}`.trimEnd());
}

function listLines(block: string, columns: number): string[] {
  const items = block.split(/\n(?=\s*[-*] )/);
  return items.flatMap((item) => wrap(spoken(item.replace(/^\s*[-*] /, "")), columns, "- "));
}

/** Without the marks of emphasis and links, which a terminal does not show. */
function spoken(text: string): string {
  return text
    .replace(/\s*\n\s*/g, " ")
    .replace(/\*\*([^*]+)\*\*/g, "$1")
    .replace(/(?<![\w*])\*([^*\s][^*]*)\*(?![\w*])/g, "$1")
    .replace(/\[([^\]]+)\]\(([^)]+)\)/g, "$1 ($2)");
}
