import { commands, type ExtensionContext, Uri, window, workspace } from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import type { Pages } from "../client/pages.ts";

/** What the commands work with. */
export interface Limbwright {
  readonly context: ExtensionContext;
  readonly client: BaseLanguageClient;
  /** Texts that are shown and never saved. */
  readonly pages: Pages;
}

/** A command of the extension. */
export interface Command {
  readonly id: string;
  /** In words, of a command that writes files: then it does nothing in a folder that is not trusted. */
  readonly writes?: string;
  readonly run: (limbwright: Limbwright, ...given: readonly unknown[]) => unknown;
}

const MANAGE_TRUST = "Manage Workspace Trust";

/** What the editor calls. A fault is told in one sentence. */
export function commandFor({ id, writes, run }: Command, limbwright: Limbwright) {
  return async (...given: unknown[]): Promise<void> => {
    if (writes !== undefined && !workspace.isTrusted) return refuseUntrusted(writes);
    try {
      await run(limbwright, ...given);
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      await window.showErrorMessage(`Limbwright could not finish ${id.replace("limbwright.", "")}: ${words}`);
    }
  };
}

async function refuseUntrusted(writes: string): Promise<void> {
  const chosen = await window.showWarningMessage(
    `Nothing was written: this folder is not trusted, and this command writes ${writes}. Checking goes on as before.`,
    MANAGE_TRUST,
  );
  if (chosen === MANAGE_TRUST) await commands.executeCommand("workbench.trust.manage");
}

/** The text a command is about: the one it was called on in a menu, else the one in the editor. Says so where there is none. */
export function findText(given: readonly unknown[]): Uri | undefined {
  const [on] = given;
  if (on instanceof Uri) return on;
  const document = window.activeTextEditor?.document;
  if (document?.languageId === "limb") return document.uri;
  void window.showInformationMessage("Open a protocol first: a file whose name ends in .limb.");
  return undefined;
}
