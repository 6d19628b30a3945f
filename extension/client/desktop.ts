import type { ExtensionContext } from "vscode";
import { LanguageClient, TransportKind } from "vscode-languageclient/node";
import { start } from "./start.ts";

/** Starts the extension where there is Node: the server is a process of its own. */
export function activate(context: ExtensionContext): Promise<void> {
  const server = {
    module: context.asAbsolutePath("dist/language-server-process.cjs"),
    transport: TransportKind.stdio,
  };
  return start(context, (options) => new LanguageClient("limbwright", "Limbwright", server, options));
}
