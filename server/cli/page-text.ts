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
  if (block.startsWith("|")) return tableLines(block, columns);
  if (/^[-*] /.test(block)) return listLines(block, columns);
  return wrap(withoutMarks(block), columns);
}

function exampleLines(block: string): string[] {
  const lines = block.split("\n").slice(1, -1);
  return lines.map((line) => `    ${line}`.trimEnd());
}

function listLines(block: string, columns: number): string[] {
  const items = block.split(/\n(?=\s*[-*] )/);
  return items.flatMap((item) => wrap(withoutMarks(item.replace(/^\s*[-*] /, "")), columns, "- "));
}

/** A table as a list: the first cell of a row, and below it the others, each with the heading of its column. */
function tableLines(block: string, columns: number): string[] {
  const [head = [], ...rows] = block.split("\n").filter(isNoRuler).map(cellsOf);
  const list = rows.flatMap(([first = "", ...others]) => [
    ...wrap(first, columns, "- "),
    ...others.flatMap((cell, index) => (cell ? wrap(`${head[index + 1]}: ${cell}`, columns, "    ") : [])),
  ]);
  return [`${head[0]}:`, ...list];
}

/** The line of dashes under the headings only draws the table. */
function isNoRuler(line: string): boolean {
  return !/^[|\s:-]+$/.test(line);
}

function cellsOf(line: string): string[] {
  return line
    .replace(/^\||\|$/g, "")
    .split(/(?<!\\)\|/)
    .map((cell) => withoutMarks(cell.trim()));
}

/** Without the marks of emphasis and links, which a terminal does not show. */
function withoutMarks(text: string): string {
  return text
    .replace(/\s*\n\s*/g, " ")
    .replace(/\*\*([^*]+)\*\*/g, "$1")
    .replace(/(?<![\w*])\*([^*\s][^*]*)\*(?![\w*])/g, "$1")
    .replace(/\[([^\]]+)\]\(([^)]+)\)/g, "$1 ($2)");
}
