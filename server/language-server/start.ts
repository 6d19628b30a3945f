import { PROOF_STATE, TRUST_GRANTED, WHEN_CHECKED } from "@limbwright/shared/editor";
import type { Finding } from "@limbwright/shared/finding";
import {
  type ClientCapabilities,
  type Connection,
  type InitializeParams,
  type InitializeResult,
  TextDocumentSyncKind,
} from "vscode-languageserver";
import { version } from "../package.json";
import { Checker } from "./checking/checker.ts";
import { Progress } from "./checking/progress.ts";
import { Publisher } from "./checking/publisher.ts";
import { FEATURES } from "./features.ts";
import type { Folder } from "./folders/folder.ts";
import { FolderSet } from "./folders/folder-set.ts";
import { followDocuments } from "./folders/follow-documents.ts";
import { followFolders } from "./folders/follow-folders.ts";
import type { Platform } from "./platform.ts";
import { inlineProver } from "./prover/inline-prover.ts";
import type { Service } from "./service.ts";

/** Serves one client over a connection until it ends. */
export function serve(connection: Connection, platform: Platform): void {
  connection.onInitialize((params) => {
    const service = serviceFor(connection, platform, params);
    for (const feature of FEATURES) feature.register(service);
    followDocuments(service);
    connection.onRequest(WHEN_CHECKED, () => service.checker.whenChecked().then(() => null));
    compareWithCommits(service, platform, params);
    connection.onInitialized(() => followFolders(service, foldersOf(params)));
    connection.onShutdown(() => service.checker.end());
    return initializeResult(params.capabilities);
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
  const publisher = new Publisher(connection, rulePageLink(params));
  const progress = new Progress(connection, client, () => checker.stop());
  const refresh = refresher(connection, client);
  const checker = new Checker({
    prover: platform.startProver() ?? inlineProver(),
    today: platform.today,
    show: (folder: Folder, findings: ReadonlyMap<string, readonly Finding[]>) =>
      publisher.show(folder, findings),
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

function rulePageLink({ initializationOptions: options }: InitializeParams): string | undefined {
  const link = options?.rulePageLink;
  return typeof link === "string" ? link : undefined;
}

function foldersOf({ workspaceFolders, rootUri }: InitializeParams): readonly string[] {
  if (workspaceFolders) return workspaceFolders.map(({ uri }) => uri);
  return rootUri ? [rootUri] : [];
}

function initializeResult(client: ClientCapabilities): InitializeResult {
  const offered = FEATURES.map((feature) => feature.offers(client));
  return {
    capabilities: {
      positionEncoding: "utf-16",
      textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
      ...offered.reduce(mergeOffers, {
        workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
      }),
    },
    serverInfo: { name: "Limbwright", version },
  };
}

/** Two offers as one: several features may have their say under `workspace`. */
function mergeOffers(a: object, b: object): object {
  const isObject = (value: unknown): value is object => typeof value === "object" && value !== null;
  const all = { ...a, ...b } as Record<string, unknown>;
  for (const [key, value] of Object.entries(a)) {
    const other = (b as Record<string, unknown>)[key];
    if (isObject(value) && isObject(other)) all[key] = mergeOffers(value, other);
  }
  return all;
}
