import { window } from "vscode";

/** Tells something that needs no answer. */
export async function tell(words: string): Promise<void> {
  await window.showInformationMessage(words);
}
