import { commands, type ExtensionContext } from "vscode";
import type { BaseLanguageClient, LanguageClientOptions } from "vscode-languageclient";
import { commandFor } from "../commands/command.ts";
import { COMMANDS } from "../commands/index.ts";
import { registerPreview } from "../preview/panel.ts";
import { ScenarioTests } from "../scenarios/scenario-tests.ts";
import { answerServer } from "./answer-server.ts";
import { CLIENT_OPTIONS } from "./client-options.ts";
import { Pages } from "./pages.ts";
import { showProofStatus } from "./proof-status-item.ts";

/** Starts the extension with a client of the server, however that one runs. */
export async function start(
  context: ExtensionContext,
  makeClient: (options: LanguageClientOptions) => BaseLanguageClient,
): Promise<void> {
  const client = makeClient(CLIENT_OPTIONS);
  const pages = new Pages();
  const scenarios = new ScenarioTests(client);
  const preview = registerPreview(context, client);
  const limbwright = { context, client, pages };
  answerServer(client);
  context.subscriptions.push(
    client,
    pages,
    scenarios,
    preview,
    showProofStatus(client, preview.proofStateChanged),
    ...COMMANDS.map((command) => commands.registerCommand(command.id, commandFor(command, limbwright))),
    scenarios.registerCommand(),
  );
  await client.start();
  void scenarios.listAll();
}
