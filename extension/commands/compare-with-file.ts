import { commands, Uri, window, workspace } from "vscode";
import { filesBelow, textOfFile } from "../client/files.ts";
import { showComparison } from "../comparison/show-comparison.ts";
import { askedText } from "./asked-text.ts";
import type { Command } from "./command.ts";
import { tell } from "./tell.ts";

/** The text beside another file of its folder, that counts as the earlier version, and what it means otherwise. */
export const compareWithFile: Command = {
  id: "limbwright.compareWithFile",
  run: async (limbwright, ...given) => {
    const text = askedText(given);
    const folder = text && workspace.getWorkspaceFolder(text)?.uri;
    if (!text) return;
    if (!folder) return tell("Nothing was compared: the text is in no folder of the workspace.");
    const others = (await filesBelow(folder)).filter(
      (file) => Uri.joinPath(folder, file).toString() !== text.toString(),
    );
    const chosen = await window.showQuickPick(others, {
      title: "Compare with a File",
      placeHolder: "The file that counts as the earlier version",
    });
    if (chosen === undefined) return;
    const before = Uri.joinPath(folder, chosen);
    const earlier = await textOfFile(before);
    if (earlier === undefined) return tell(`Nothing was compared: ${chosen} cannot be read.`);
    await commands.executeCommand(
      "vscode.diff",
      before,
      text,
      `${chosen} ↔ ${workspace.asRelativePath(text, false)}`,
      { preview: false },
    );
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
