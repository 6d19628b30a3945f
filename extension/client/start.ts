import { PROOF_STATE, type ProofState, TRUST_GRANTED } from "@limbwright/shared/editor";
import { commands, EventEmitter, type ExtensionContext, workspace } from "vscode";
import type { BaseLanguageClient, LanguageClientOptions } from "vscode-languageclient";
import { commandFor } from "../commands/command.ts";
import { COMMANDS } from "../commands/index.ts";
import { registerPreview } from "../preview/panel.ts";
import { ScenarioTests } from "../scenarios/scenario-tests.ts";
import { answerServer } from "./answer-server.ts";
import { PAGE_SCHEME, Pages } from "./pages.ts";
import { showProofStatus } from "./proof-status-item.ts";

/** Texts of these schemes are shown, not worked on: an earlier version, a page of ours. The server is not told of them. */
const ONLY_SHOWN = new Set(["git", "vscode-scm", PAGE_SCHEME]);

/** What the client says when the server starts. */
const CLIENT_OPTIONS: LanguageClientOptions = {
  documentSelector: [{ language: "limb" }],
  initializationOptions: {
    canAskForReason: true,
    canStepThroughRuns: true,
    rulePageLink: "command:limbwright.showRule?%5B%22{rule}%22%5D",
  },
  middleware: {
    didOpen: (document, next) => (ONLY_SHOWN.has(document.uri.scheme) ? Promise.resolve() : next(document)),
  },
};

/** Starts the extension with a client of the server, however that one runs. */
export async function start(
  context: ExtensionContext,
  makeClient: (options: LanguageClientOptions) => BaseLanguageClient,
): Promise<void> {
  const { isTrusted } = workspace;
  const initializationOptions = { ...CLIENT_OPTIONS.initializationOptions, isTrusted };
  const client = makeClient({ ...CLIENT_OPTIONS, initializationOptions });
  const pages = new Pages();
  // A client has one listener for a notification: it tells all who want to know.
  const proofStates = new EventEmitter<ProofState>();
  client.onNotification(PROOF_STATE, (state: ProofState) => proofStates.fire(state));
  const scenarios = new ScenarioTests(client, proofStates.event);
  const limbwright = { context, client, pages };
  answerServer(client);
  context.subscriptions.push(
    client,
    pages,
    proofStates,
    scenarios,
    registerPreview(context, client, proofStates.event),
    showProofStatus(proofStates.event),
    ...COMMANDS.map((command) => commands.registerCommand(command.id, commandFor(command, limbwright))),
    scenarios.registerCommand(),
    workspace.onDidGrantWorkspaceTrust(() => client.sendNotification(TRUST_GRANTED)),
  );
  await client.start();
  void scenarios.listAll();
}
