import { RULE_FILE_SUFFIX } from "@limbwright/shared/rule-file";
import { commands, Uri, window, workspace } from "vscode";
import { filesBelow, textOfFile } from "../client/files.ts";
import { tell } from "../client/tell.ts";
import { showComparison } from "../comparison/show-comparison.ts";
import { findText } from "./asked-text.ts";
import type { Command } from "./command.ts";

/**
 * The text beside another file of its folder, that counts as the earlier version, and what it means otherwise. A rule file is
 * only compared by what it means.
 */
export const compareWithFile: Command = {
  id: "limbwright.compareWithFile",
  run: async (limbwright, ...given) => {
    const text = findText(given);
    const folder = text && workspace.getWorkspaceFolder(text)?.uri;
    if (!text) return;
    if (!folder) return tell("Nothing was compared: the text is in no folder of the workspace.");
    const chosen = await window.showQuickPick(otherFiles(folder, text), {
      title: "Compare with a File",
      placeHolder: "The file or rule file that counts as the earlier version",
    });
    if (chosen === undefined) return;
    const before = Uri.joinPath(folder, chosen);
    const earlier = await textOfFile(before);
    if (earlier === undefined) return tell(`Nothing was compared: ${chosen} cannot be read.`);
    if (!chosen.endsWith(RULE_FILE_SUFFIX)) await showDifferences(chosen, before, text);
    await showComparison(limbwright, {
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
