import { CAUTION, changeList, changePage, closestName, ruleList, wrap } from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import type { Command } from "commander";
import { Trouble } from "../workspace/trouble.ts";
import { type Invocation, jsonText, type Stream } from "./surroundings.ts";

const HELP = `
Examples:
  limb why dose-over-maximum
  limb why dose-amount
`;

export function define(command: Command, invocation: Invocation): void {
  command
    .argument(
      "[name]",
      "a rule, or a kind of change as `limb compare` names it; without a name, all are listed",
    )
    .option("--json", "print it as JSON, with its page in Markdown; without a name, the list")
    .addHelpText("after", HELP)
    .action((name: string | undefined, { json }: { json?: true }) => {
      const { output } = invocation;
      const caution = `${wrap(CAUTION, output.columns).join("\n")}\n`;
      const { value, text } = name === undefined ? everything(output.columns) : explained(name);
      const shown = name === undefined ? text : `${pageText(text, output)}\n`;
      output.write(json ? jsonText(value) : `${shown}${caution}`);
      invocation.finish(0);
    });
}

function explained(name: string) {
  const rule = ruleList.find(({ id }) => id === name);
  if (rule) return withPage(rule, pageOf(rule));
  const change = changeList.find(({ code }) => code === name);
  if (change) return withPage(change, changePage(change));
  const near = closestName(name, [...ruleList.map(({ id }) => id), ...changeList.map(({ code }) => code)]);
  throw new Trouble({
    file: name,
    what: `There is no rule or kind of change called ${name}.`,
    next: near ? `Did you mean ${near}?` : "`limb why` lists them all.",
  });
}

function withPage(one: object, page: string) {
  return { value: { ...one, page }, text: page };
}

/** Every rule and every change that has a name, each with what it is about. */
function everything(columns: number) {
  const lines = (name: string, title: string) => wrap(title, columns, `  ${name.padEnd(36)}  `);
  const text = [
    "Rules, which `limb check` proves or finds broken:",
    ...ruleList.flatMap(({ id, title }) => lines(id, title)),
    "",
    "Kinds of change, which `limb compare` reports:",
    ...changeList.flatMap(({ code, title }) => lines(code, title)),
    "",
  ];
  return { value: { rules: ruleList, changes: changeList }, text: `${text.join("\n")}\n` };
}

/** A page written in Markdown as plain text for a terminal: headings, paragraphs, lists, examples, tables. */
function pageText(page: string, { hasColour, columns }: Stream): string {
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
