import { CAUTION, closestRule, type ListedRule, ruleList, wrap } from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import type { Command } from "commander";
import { Trouble } from "../workspace/trouble.ts";
import { pageText } from "./page-text.ts";
import type { Invocation } from "./surroundings.ts";

const HELP = `
Example:
  limb why dose-over-maximum
`;

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<rule>", "the rule's name, as findings and `limb rules` show it")
    .option("--json", "print the rule and its page (Markdown) as JSON")
    .addHelpText("after", HELP)
    .action((id: string, { json }: { json?: true }) => {
      const rule = ruleNamed(id);
      const page = pageOf(rule);
      const { output } = invocation;
      output.write(
        json
          ? `${JSON.stringify({ ...rule, page }, undefined, 2)}\n`
          : `${pageText(page, output)}\n${wrap(CAUTION, output.columns).join("\n")}\n`,
      );
      invocation.finish(0);
    });
}

function ruleNamed(id: string): ListedRule {
  const rule = ruleList.find((one) => one.id === id);
  if (rule) return rule;
  const near = closestRule(id);
  throw new Trouble({
    file: id,
    what: `There is no rule called ${id}.`,
    next: near ? `Did you mean ${near}?` : "`limb rules` lists every rule.",
  });
}
