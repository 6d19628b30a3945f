import { type CheckComparison, COMPARISON, type ComparisonAsked } from "@limbwright/shared/editor";
import { commands, type Uri, window, workspace } from "vscode";
import type { Limbwright } from "../client/limbwright.ts";
import { askedText } from "./asked-text.ts";
import type { Command } from "./command.ts";
import { comparisonPage } from "./comparison-page.ts";
import { type Git, gitOfEditor } from "./git.ts";

/** The text beside its last committed version in the editor's own view of differences, and what the check says otherwise. */
export const compareWithCommit: Command = {
  id: "limbwright.compareWithCommit",
  run: async (limbwright, ...given) => {
    const text = askedText(given);
    if (!text) return;
    const git = await gitOfEditor();
    if (!git) return tell("Nothing was compared: this editor has no Git, or it is turned off.");
    const before = await git.committed(text);
    if (before === undefined) {
      return tell(`Nothing was compared: ${nameOf(text)} is not in the last commit of a repository.`);
    }
    await showBoth(limbwright, git, text, before);
  },
};

async function showBoth({ client, pages }: Limbwright, git: Git, text: Uri, before: string): Promise<void> {
  const name = nameOf(text);
  await commands.executeCommand("vscode.diff", git.uriOfCommitted(text), text, `${name} (last commit ↔ now)`);
  const asked: ComparisonAsked = { uri: text.toString(), before };
  const comparison = await client.sendRequest<CheckComparison | null>(COMPARISON, asked);
  const now = (await workspace.openTextDocument(text)).getText();
  await pages.showMarkdown(
    `Comparison of ${name.split("/").at(-1)}`,
    comparisonPage({ name, isSameText: now === before, comparison }),
  );
}

function nameOf(text: Uri): string {
  return workspace.asRelativePath(text);
}

async function tell(words: string): Promise<void> {
  await window.showInformationMessage(words);
}
