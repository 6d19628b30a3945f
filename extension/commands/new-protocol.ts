import { TEMPLATE, TEMPLATE_CUFF_PLACES, type Template, type TemplateAsked } from "@limbwright/shared/editor";
import { commands, Uri, window, workspace } from "vscode";
import { isThere } from "../client/files.ts";
import type { Command } from "./command.ts";
import { faultInName, titleOf } from "./protocol-name.ts";

const OPEN_FOLDER = "Open a folder";
const FORMULARY = "formulary.limb";

/** A new protocol from a template, in a file of its own; with a small formulary where the folder has none. */
export const newProtocol: Command = {
  id: "limbwright.newProtocol",
  writes: "a new protocol",
  run: async ({ client }, ...given) => {
    const folder = await askForFolder(given);
    const name = folder && (await askForName());
    const place = name === undefined ? undefined : await askForPlace();
    if (!folder || name === undefined || place === undefined) return;
    const file = Uri.joinPath(folder, `${name}.limb`);
    if (await isThere(file)) {
      await window.showWarningMessage(
        `${name}.limb is there already, and is left as it is. Choose another name.`,
      );
      return;
    }
    const asked: TemplateAsked = { name, title: titleOf(name), place, formulary: FORMULARY };
    const template = await client.sendRequest<Template | null>(TEMPLATE, asked);
    if (!template) throw new Error(`there is no template for ${name}`);
    const formulary = Uri.joinPath(folder, FORMULARY);
    if (!(await isThere(formulary))) await write(formulary, template.formulary);
    await write(file, template.protocol);
    await window.showTextDocument(file);
    await window.showInformationMessage("Go through every line: each number and text is yours to decide.");
  },
};

async function askForFolder([on]: readonly unknown[]): Promise<Uri | undefined> {
  if (on instanceof Uri) return on;
  const { workspaceFolders: folders = [] } = workspace;
  if (folders.length > 1) return (await window.showWorkspaceFolderPick())?.uri;
  const [only] = folders;
  if (only) return only.uri;
  const chosen = await window.showInformationMessage(
    "Open a folder first: a protocol stands in a file, with the formulary of its drugs beside it.",
    OPEN_FOLDER,
  );
  if (chosen === OPEN_FOLDER) await commands.executeCommand("vscode.openFolder");
  return undefined;
}

async function askForName(): Promise<string | undefined> {
  return window.showInputBox({
    title: "New protocol (1 of 2)",
    prompt: "Its name: lower case, words joined by hyphens, such as wrist-reduction",
    validateInput: faultInName,
    ignoreFocusOut: true,
  });
}

async function askForPlace(): Promise<TemplateAsked["place"] | undefined> {
  const items = TEMPLATE_CUFF_PLACES.map((place) => ({ label: place.replace("-", " "), place }));
  const picked = await window.showQuickPick(items, {
    title: "New protocol (2 of 2)",
    placeHolder: "Where do the cuffs sit?",
    ignoreFocusOut: true,
  });
  return picked?.place;
}

async function write(file: Uri, text: string): Promise<void> {
  await workspace.fs.writeFile(file, new TextEncoder().encode(text));
}
