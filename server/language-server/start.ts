import { PROOF_STATE, TRUST_GRANTED, WHEN_CHECKED } from "@limbwright/shared/editor";
import type { ClientCapabilities, Connection, InitializeParams } from "vscode-languageserver";
import { version } from "../package.json";
import { Checker } from "./checking/checker.ts";
import { Progress, Publisher } from "./checking/publisher.ts";
import { capabilitiesFor, registerFeatures } from "./features.ts";
import { FolderSet } from "./folders/folder.ts";
import { followDocuments, followFolders } from "./folders/follow-client.ts";
import type { Platform } from "./platform.ts";
import { inlineProver } from "./prover/inline-prover.ts";
import type { Service } from "./service.ts";

/** Serves one client over a connection until it ends. */
export function serve(connection: Connection, platform: Platform): void {
  connection.onInitialize((params) => {
    const service = serviceFor(connection, platform, params);
    registerFeatures(service);
    followDocuments(service);
    connection.onRequest(WHEN_CHECKED, () => service.checker.whenChecked().then(() => null));
    compareWithCommits(service, platform, params);
    connection.onInitialized(() => followFolders(service, foldersOf(params)));
    connection.onShutdown(() => service.checker.end());
    return {
      capabilities: capabilitiesFor(params.capabilities),
      serverInfo: { name: "Limbwright", version },
    };
  });
  connection.listen();
}

/** In a folder that the client does not trust no other program is started; Git is one. */
function compareWithCommits(
  { connection, checker }: Service,
  { followCommits }: Platform,
  { initializationOptions: options }: InitializeParams,
): void {
  if (!followCommits) return;
  if ((options?.isTrusted ?? true) === true) checker.compareWithCommits(followCommits);
  connection.onNotification(TRUST_GRANTED, () => checker.compareWithCommits(followCommits));
}

function serviceFor(connection: Connection, platform: Platform, params: InitializeParams): Service {
  const client = params.capabilities;
  const link = params.initializationOptions?.rulePageLink;
  const publisher = new Publisher(connection, typeof link === "string" ? link : undefined);
  const progress = new Progress(connection, client, () => checker.stop());
  const refresh = refresher(connection, client);
  const checker = new Checker({
    prover: platform.startProver() ?? inlineProver(),
    today: platform.today,
    show: (folder, findings) => publisher.show(folder, findings),
    tell: (state) => {
      progress.follow(state);
      connection.sendNotification(PROOF_STATE, state).catch(() => {});
      refresh();
    },
    fault: (words) => connection.console.error(words),
  });
  const can = (what: string) => params.initializationOptions?.[what] === true;
  return {
    connection,
    client,
    folders: new FolderSet(platform),
    checker,
    canAskForReason: can("canAskForReason"),
    canStepThroughRuns: can("canStepThroughRuns"),
  };
}

/** Clients keep what they show between the lines until they are told that it may be another. */
function refresher(connection: Connection, { workspace }: ClientCapabilities): () => void {
  return () => {
    if (workspace?.codeLens?.refreshSupport)
      connection.sendRequest("workspace/codeLens/refresh").catch(() => {});
    if (workspace?.inlayHint?.refreshSupport)
      connection.sendRequest("workspace/inlayHint/refresh").catch(() => {});
  };
}

function foldersOf({ workspaceFolders, rootUri }: InitializeParams): readonly string[] {
  if (workspaceFolders) return workspaceFolders.map(({ uri }) => uri);
  return rootUri ? [rootUri] : [];
}
