import { CAUTION, changeList, changePage, closestName, ruleList, wrap } from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import type { Command } from "commander";
import { Trouble } from "../workspace/trouble.ts";
import { pageText } from "./page-text.ts";
import { type Invocation, jsonText } from "./surroundings.ts";

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
