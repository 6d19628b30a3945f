import { type ChildProcess, spawn } from "node:child_process";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { PROOF_STATE, type ProofState, WHEN_CHECKED } from "@limbwright/shared/editor";
import { onTestFinished } from "vitest";
import {
  createProtocolConnection,
  type Diagnostic,
  DidChangeTextDocumentNotification,
  DidChangeWorkspaceFoldersNotification,
  DidCloseTextDocumentNotification,
  DidOpenTextDocumentNotification,
  InitializedNotification,
  InitializeRequest,
  type InitializeResult,
  type ProtocolConnection,
  PublishDiagnosticsNotification,
  StreamMessageReader,
  StreamMessageWriter,
  type TextDocumentContentChangeEvent,
  type WorkspaceFoldersChangeEvent,
} from "vscode-languageserver-protocol/node";
import { folderWith } from "../run-limb.ts";

const LIMB = join(import.meta.dirname, "../../../server/bin/limb.cjs");

export interface ClientOptions {
  readonly capabilities?: object;
  readonly initializationOptions?: object;
  /** Folders of the workspace below the folder with the files; the whole of it if not said. */
  readonly roots?: readonly string[];
  /** A folder that has its files already. */
  readonly folder?: string;
}

/** A client that speaks with a server of its own over its standard streams, in a folder with these files. */
export class Client {
  readonly connection: ProtocolConnection;
  readonly folder: string;
  readonly process: ChildProcess;
  readonly diagnostics = new Map<string, readonly Diagnostic[]>();
  readonly states: ProofState[] = [];
  initialized: InitializeResult = { capabilities: {} };
  #versions = new Map<string, number>();

  constructor(folder: string, { process, connection }: Server) {
    this.folder = folder;
    this.process = process;
    this.connection = connection;
    this.connection.onNotification(PublishDiagnosticsNotification.type, ({ uri, diagnostics }) => {
      // A server that is shared may still speak of the folder before.
      if (uri.startsWith(this.uriOf(""))) this.diagnostics.set(uri, diagnostics);
    });
    this.connection.onNotification(PROOF_STATE, (state: ProofState) => {
      this.states.push(state);
    });
    this.connection.onRequest("client/registerCapability", () => null);
  }

  uriOf(file: string): string {
    return pathToFileURL(join(this.folder, file)).toString();
  }

  async open(file: string, text: string): Promise<void> {
    this.#versions.set(file, 1);
    const textDocument = { uri: this.uriOf(file), languageId: "limb", version: 1, text };
    await this.connection.sendNotification(DidOpenTextDocumentNotification.type, { textDocument });
  }

  async closeAll(): Promise<void> {
    for (const file of this.#versions.keys()) {
      const textDocument = { uri: this.uriOf(file) };
      await this.connection.sendNotification(DidCloseTextDocumentNotification.type, { textDocument });
    }
  }

  /** The folder whose workspace this is, as a protocol names it. */
  rootOf(root: string): { readonly uri: string; readonly name: string } {
    return { uri: this.uriOf(root).replace(/\/$/, ""), name: root };
  }

  async change(file: string, ...contentChanges: TextDocumentContentChangeEvent[]): Promise<void> {
    const version = (this.#versions.get(file) ?? 0) + 1;
    this.#versions.set(file, version);
    const textDocument = { uri: this.uriOf(file), version };
    await this.connection.sendNotification(DidChangeTextDocumentNotification.type, {
      textDocument,
      contentChanges,
    });
  }

  /** Waits until all that was sent is checked and shown. */
  async settled(): Promise<void> {
    await this.connection.sendRequest(WHEN_CHECKED);
  }

  /** The findings of a file as lines: "3:5-9 unit-missing". */
  found(file: string): string[] {
    return (this.diagnostics.get(this.uriOf(file)) ?? []).map(
      ({ range: { start, end }, code }) =>
        `${start.line + 1}:${start.character + 1}-${end.line === start.line ? end.character + 1 : "…"} ${code}`,
    );
  }

  request<Answer>(method: string, file: string, more: object = {}): Promise<Answer> {
    return this.connection.sendRequest(method, { textDocument: { uri: this.uriOf(file) }, ...more });
  }
}

interface Server {
  readonly process: ChildProcess;
  readonly connection: ProtocolConnection;
}

function startServer(): Server {
  const child = spawn(process.execPath, [LIMB, "server", "--stdio"], { stdio: ["pipe", "pipe", "inherit"] });
  const connection = createProtocolConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  connection.listen();
  return { process: child, connection };
}

function endServer({ process: child, connection }: Server): void {
  connection.dispose();
  child.kill();
}

/** Starts a server and a client of it, until the test has ended. */
export async function startClient(
  files: Readonly<Record<string, string>>,
  options: ClientOptions = {},
): Promise<Client> {
  const server = startServer();
  onTestFinished(() => endServer(server));
  const client = new Client(options.folder ?? folderWith(files), server);
  client.initialized = await initialize(client, options);
  return client;
}

/** Gives what the server answers. */
async function initialize(
  client: Client,
  { capabilities = {}, initializationOptions = {}, roots = [""] }: ClientOptions,
): Promise<InitializeResult> {
  const answer: InitializeResult = await client.connection.sendRequest(InitializeRequest.type, {
    processId: process.pid,
    rootUri: null,
    capabilities,
    initializationOptions,
    workspaceFolders: roots.map((root) => client.rootOf(root)),
  });
  await client.connection.sendNotification(InitializedNotification.type, {});
  return answer;
}

/**
 * One server for all tests of a worker that say the same of themselves, which takes less time than one each: gives how to start a
 * client of it in a folder of its own. When a test ends, its texts are closed and its folder leaves the workspace.
 */
export function serverForAll(
  options: Omit<ClientOptions, "roots" | "folder"> = {},
): (
  files: Readonly<Record<string, string>>,
  where?: Pick<ClientOptions, "roots" | "folder">,
) => Promise<Client> {
  return async (files, { folder = folderWith(files), roots = [""] } = {}) => {
    const kind = JSON.stringify(options);
    const shared = SHARED.get(kind);
    const known = shared?.server.process.exitCode === null ? shared : undefined;
    const server = known?.server ?? startServer();
    const client = new Client(folder, server);
    onTestFinished(async () => {
      await client.closeAll();
      await changeFolders(client, { added: [], removed: roots.map((root) => client.rootOf(root)) });
    });
    if (known) await changeFolders(client, { added: roots.map((root) => client.rootOf(root)), removed: [] });
    client.initialized = known?.initialized ?? (await initialize(client, { ...options, roots }));
    SHARED.set(kind, { server, initialized: client.initialized });
    return client;
  };
}

/** The servers that the tests of this worker share, by what their clients say of themselves. */
const SHARED = new Map<string, { readonly server: Server; readonly initialized: InitializeResult }>();

process.once("exit", () => {
  for (const { server } of SHARED.values()) endServer(server);
});

function changeFolders(client: Client, event: WorkspaceFoldersChangeEvent): Promise<void> {
  return client.connection.sendNotification(DidChangeWorkspaceFoldersNotification.type, { event });
}
