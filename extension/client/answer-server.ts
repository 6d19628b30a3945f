import {
  ASK_FOR_REASON,
  LIST_FILES,
  type ListFilesAsked,
  READ_FILE,
  type ReadFileAsked,
} from "@limbwright/shared/editor";
import { Uri } from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import { askForReason } from "./ask-for-reason.ts";
import { filesBelow, textOfFile } from "./files.ts";

/** Answers what the server asks: the files of a folder where it cannot read them itself, the reason of an acceptance. */
export function answerServer(client: BaseLanguageClient): void {
  client.onRequest(LIST_FILES, ({ folder }: ListFilesAsked) => filesBelow(Uri.parse(folder)));
  client.onRequest(READ_FILE, async ({ uri }: ReadFileAsked) => (await textOfFile(Uri.parse(uri))) ?? null);
  client.onRequest(ASK_FOR_REASON, askForReason);
}
