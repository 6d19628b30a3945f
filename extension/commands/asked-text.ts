import { Uri, window } from "vscode";

/** The text a command is about: the one it was called on in a menu, else the one in the editor. Says so where there is none. */
export function findText(given: readonly unknown[]): Uri | undefined {
  const [on] = given;
  if (on instanceof Uri) return on;
  const document = window.activeTextEditor?.document;
  if (document?.languageId === "limb") return document.uri;
  void window.showInformationMessage("Open a protocol first: a file whose name ends in .limb.");
  return undefined;
}
