import { type ExtensionContext, Uri } from "vscode";
import { LanguageClient } from "vscode-languageclient/browser";
import { start } from "./start.ts";

type BrowserWorker = ConstructorParameters<typeof LanguageClient>[3];

/** Of the worker that extensions run in: starting another. */
const { Worker } = globalThis as unknown as { readonly Worker: new (program: string) => BrowserWorker };

/** Starts the extension in a browser: the server is a web worker, and nothing leaves the machine. */
export function activate(context: ExtensionContext): Promise<void> {
  const program = Uri.joinPath(context.extensionUri, "dist/language-server-worker.js").toString(true);
  return start(
    context,
    (options) => new LanguageClient("limbwright", "Limbwright", options, new Worker(program)),
  );
}
