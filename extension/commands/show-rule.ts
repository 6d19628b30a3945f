import { RULE_PAGE, type RulePageAsked } from "@limbwright/shared/editor";
import { window } from "vscode";
import type { Command } from "./command.ts";

/** The page of a rule, where the name of a rule stands beside a problem. */
export const showRule: Command = {
  id: "limbwright.showRule",
  run: async ({ client, pages }, rule) => {
    if (typeof rule !== "string") return;
    const asked: RulePageAsked = { rule };
    const page = await client.sendRequest<string | null>(RULE_PAGE, asked);
    if (page === null) await window.showInformationMessage(`There is no page of ${rule}.`);
    else await pages.showMarkdown(rule, page);
  },
};
