import { RULE_FILE_SUFFIX } from "@limbwright/shared/rule-file";
import { commands, Uri, window, workspace } from "vscode";
import { filesBelow, textOfFile } from "../client/files.ts";
import { showComparison } from "../comparison/show-comparison.ts";
import { type Command, findText } from "./command.ts";
import { type Git, gitOfEditor } from "./git.ts";

/** The text beside its last committed version in the editor's own view of differences, and what it means otherwise. */
export const compareWithCommit: Command = {
  id: "limbwright.compareWithCommit",
  run: async (limbwright, ...given) => {
    const text = findText(given);
    if (!text) return undefined;
    const name = workspace.asRelativePath(text);
    const git = await gitOfEditor();
    if (!git)
      return window.showInformationMessage(
        "Nothing was compared: this editor has no Git, or it is turned off.",
      );
    const before = await git.committed(text);
    if (before === undefined) {
      const words = `Nothing was compared: ${name} is not in the last commit of a repository.`;
      return window.showInformationMessage(words);
    }
    const left = git.uriOfCommitted(text);
    // Lines that are opened from the page must not take its place.
    const title = `${name} (last commit ↔ now)`;
    await commands.executeCommand("vscode.diff", left, text, title, { preview: false });
    return showComparison(limbwright, {
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

/**
 * The text beside another file of its folder, that counts as the earlier version, and what it means otherwise. A rule file is
 * only compared by what it means.
 */
export const compareWithFile: Command = {
  id: "limbwright.compareWithFile",
  run: async (limbwright, ...given) => {
    const text = findText(given);
    const folder = text && workspace.getWorkspaceFolder(text)?.uri;
    if (!text) return undefined;
    if (!folder)
      return window.showInformationMessage(
        "Nothing was compared: the text is in no folder of the workspace.",
      );
    const chosen = await window.showQuickPick(otherFiles(folder, text), {
      title: "Compare with a File",
      placeHolder: "The file or rule file that counts as the earlier version",
    });
    if (chosen === undefined) return undefined;
    const before = Uri.joinPath(folder, chosen);
    const earlier = await textOfFile(before);
    if (earlier === undefined)
      return window.showInformationMessage(`Nothing was compared: ${chosen} cannot be read.`);
    if (!chosen.endsWith(RULE_FILE_SUFFIX)) await showDifferences(chosen, before, text);
    return showComparison(limbwright, {
      now: text,
      before,
      beforeName: `\`${chosen}\``,
      earlier: { [before.toString()]: earlier },
      earlierOf: async () => undefined,
      whereBefore: async (file) => file,
    });
  },
};

/** Texts first, then what may be rule files: `limb compile` names them so. */
async function otherFiles(folder: Uri, text: Uri): Promise<string[]> {
  const files = [...(await filesBelow(folder)), ...(await filesBelow(folder, RULE_FILE_SUFFIX))];
  return files.filter((file) => Uri.joinPath(folder, file).toString() !== text.toString());
}

async function showDifferences(chosen: string, before: Uri, text: Uri): Promise<void> {
  const title = `${chosen} ↔ ${workspace.asRelativePath(text, false)}`;
  await commands.executeCommand("vscode.diff", before, text, title, { preview: false });
}
