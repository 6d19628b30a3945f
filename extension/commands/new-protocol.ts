import {
  TEMPLATE,
  TEMPLATE_CUFF_PLACES,
  type Template,
  type TemplateAsked,
  titleOf,
} from "@limbwright/shared/editor";
import { commands, Uri, ViewColumn, window, workspace } from "vscode";
import { isThere } from "../client/files.ts";
import { faultInName } from "../client/typed-faults.ts";
import { firstProtocol } from "../walkthrough/first-protocol.ts";
import type { Command, Limbwright } from "./command.ts";

const OPEN_FOLDER = "Open a folder";
const FORMULARY = "formulary.limb";

/** A new protocol from a template, in a file of its own; with a small formulary where the folder has none. */
export const newProtocol: Command = {
  id: "limbwright.newProtocol",
  writes: "a new protocol",
  run: async (limbwright, ...given) => {
    const folder = await askForFolder(given);
    const name = folder && (await askForName());
    const place = name === undefined ? undefined : await askForPlace();
    if (!folder || name === undefined || place === undefined) return undefined;
    const file = Uri.joinPath(folder, `${name}.limb`);
    if (await isThere(file)) {
      const words = `${name}.limb is there already, and is left as it is. Choose another name.`;
      return window.showWarningMessage(words);
    }
    const template = await askForTemplate(limbwright, { name, title: titleOf(name), place });
    const formulary = Uri.joinPath(folder, FORMULARY);
    if (!(await isThere(formulary))) await write(formulary, template.formulary);
    await write(file, template.protocol);
    await window.showTextDocument(file);
    return window.showInformationMessage("Go through every line: each number and text is yours to decide.");
  },
};

/** A text to try things on: whole in itself, with one mistake to find, and no file that could be spoilt. */
export const tryExample: Command = {
  id: "limbwright.tryExample",
  run: async (limbwright) => {
    const title = "A first protocol, to try things on";
    const template = await askForTemplate(limbwright, { name: "first-protocol", title, place: "upper-arm" });
    const content = firstProtocol(template);
    const document = await workspace.openTextDocument({ language: "limb", content });
    // Beside the walkthrough that tells what to do with it.
    await window.showTextDocument(document, window.activeTextEditor ? ViewColumn.Active : ViewColumn.Beside);
  },
};

async function askForTemplate(
  { client }: Limbwright,
  asked: Omit<TemplateAsked, "formulary">,
): Promise<Template> {
  const whole: TemplateAsked = { ...asked, formulary: FORMULARY };
  const template = await client.sendRequest<Template | null>(TEMPLATE, whole);
  if (!template) throw new Error(`there is no template for ${asked.name}`);
  return template;
}

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
