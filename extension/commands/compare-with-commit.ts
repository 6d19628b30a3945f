import { commands, type Uri, workspace } from "vscode";
import { tell } from "../client/tell.ts";
import { showComparison } from "../comparison/show-comparison.ts";
import { findText } from "./asked-text.ts";
import type { Command } from "./command.ts";
import { type Git, gitOfEditor } from "./git.ts";

/** The text beside its last committed version in the editor's own view of differences, and what it means otherwise. */
export const compareWithCommit: Command = {
  id: "limbwright.compareWithCommit",
  run: async (limbwright, ...given) => {
    const text = findText(given);
    if (!text) return;
    const name = workspace.asRelativePath(text);
    const git = await gitOfEditor();
    if (!git) return tell("Nothing was compared: this editor has no Git, or it is turned off.");
    const before = await git.committed(text);
    if (before === undefined) {
      return tell(`Nothing was compared: ${name} is not in the last commit of a repository.`);
    }
    const left = git.uriOfCommitted(text);
    // Lines that are opened from the page must not take its place.
    const title = `${name} (last commit ↔ now)`;
    await commands.executeCommand("vscode.diff", left, text, title, { preview: false });
    await showComparison(limbwright, {
      now: text,
      before: text,
      beforeName: `\`${name}\` in the last commit`,
      earlier: { [text.toString()]: before },
      earlierOf: (used) => git.committed(used),
      whereBefore: (file) => placeBefore(git, file),
    });
  },
};

/** Where the earlier text of a file can be looked at; a file that is not in the last commit stands where it is. */
async function placeBefore(git: Git, file: Uri): Promise<Uri> {
  return (await git.committed(file)) === undefined ? file : git.uriOfCommitted(file);
}
