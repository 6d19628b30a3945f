import { commands, window, workspace } from "vscode";
import type { Limbwright } from "../client/limbwright.ts";

/** A command of the extension; one file each. */
export interface Command {
  readonly id: string;
  /** In words, of a command that writes files: then it does nothing in a folder that is not trusted. */
  readonly writes?: string;
  readonly run: (limbwright: Limbwright, ...given: readonly unknown[]) => Promise<void> | void;
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
