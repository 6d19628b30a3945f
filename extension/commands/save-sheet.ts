import { type Output, SHEETS, type SheetsAsked } from "@limbwright/shared/editor";
import { env, type Uri, window, workspace } from "vscode";
import { findText } from "./asked-text.ts";
import type { Command } from "./command.ts";
import { writeOutputs } from "./write-outputs.ts";

/** Writes the bedside sheet of each protocol beside its text, as a page that prints. */
export const saveSheet: Command = {
  id: "limbwright.saveSheet",
  writes: "a sheet",
  run: async ({ client }, ...given) => {
    const text = findText(given);
    if (!text) return;
    await writeOutputs(text, {
      called: "sheet",
      ask: (uri, draft) => {
        const asked: SheetsAsked = { uri, draft, graduation: graduationFor(text) };
        return client.sendRequest<readonly Output[] | null>(SHEETS, asked);
      },
      show: showPage,
    });
  },
};

/** In mL, as a decimal text; what is no number over zero counts as 1. */
function graduationFor(text: Uri): string {
  const set = workspace.getConfiguration("limbwright", text).get<number>("sheet.graduation", 1);
  return Number.isFinite(set) && set >= 0.01 ? String(set) : "1";
}

/** The page in a browser, where it lies on a disk; else its text. */
async function showPage(file: Uri): Promise<unknown> {
  return file.scheme === "file" && (await env.openExternal(file)) ? undefined : window.showTextDocument(file);
}
