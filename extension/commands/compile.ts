import { COMPILE, type Output, type OutputAsked } from "@limbwright/shared/editor";
import { window } from "vscode";
import { findText } from "./asked-text.ts";
import type { Command } from "./command.ts";
import { writeOutputs } from "./write-outputs.ts";

/** Writes the rule file of each protocol beside its text. */
export const compile: Command = {
  id: "limbwright.compile",
  writes: "a rule file",
  run: async ({ client }, ...given) => {
    const text = findText(given);
    if (!text) return;
    await writeOutputs(text, {
      called: "rule file",
      ask: (uri, draft) => {
        const asked: OutputAsked = { uri, draft };
        return client.sendRequest<readonly Output[] | null>(COMPILE, asked);
      },
      show: async (file) => window.showTextDocument(file),
    });
  },
};
