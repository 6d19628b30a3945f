import {
  type AcceptanceAsked,
  type AcceptanceReason,
  ASK_FOR_REASON,
  LIST_FILES,
  type ListFilesAsked,
  READ_FILE,
  type ReadFileAsked,
} from "@limbwright/shared/editor";
import { type InputBoxOptions, Uri, window } from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import { filesBelow, textOfFile } from "./files.ts";
import { faultInDay, faultInWords } from "./typed-faults.ts";

/** Answers what the server asks: the files of a folder where it cannot read them itself, the reason of an acceptance. */
export function answerServer(client: BaseLanguageClient): void {
  client.onRequest(LIST_FILES, ({ folder }: ListFilesAsked) => filesBelow(Uri.parse(folder)));
  client.onRequest(READ_FILE, async ({ uri }: ReadFileAsked) => (await textOfFile(Uri.parse(uri))) ?? null);
  client.onRequest(ASK_FOR_REASON, askForReason);
}

/** Asks for all that an acceptance needs; `null` when the person at the editor leaves one of the questions. */
async function askForReason({ rule, protocol }: AcceptanceAsked): Promise<AcceptanceReason | null> {
  const title = `Accept what ${rule} finds in ${protocol}`;
  const because = await ask({
    title: `${title} (1 of 3)`,
    prompt: "Why may it stand? This is printed with the protocol.",
    validateInput: (written) => faultInWords(written, "reason"),
  });
  if (because === undefined) return null;
  const by = await ask({
    title: `${title} (2 of 3)`,
    prompt: "Which role decides that?",
    validateInput: (written) => faultInWords(written, "role"),
  });
  if (by === undefined) return null;
  const until = await ask({
    title: `${title} (3 of 3)`,
    prompt: "Until when does it hold? The last day, YYYY-MM-DD.",
    validateInput: (written) => faultInDay(written, new Date().toLocaleDateString("sv-SE")),
  });
  return until === undefined ? null : { because, by, until: until.trim() };
}

/** The fault is shown only once something was written, but nothing faulty is ever taken. */
async function ask(options: InputBoxOptions): Promise<string | undefined> {
  return window.showInputBox({ ...options, ignoreFocusOut: true });
}
