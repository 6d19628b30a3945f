import { type ChildProcess, spawn } from "node:child_process";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { PROOF_STATE, type ProofState, WHEN_CHECKED } from "@limbwright/shared/editor";
import { onTestFinished } from "vitest";
import {
  createProtocolConnection,
  type Diagnostic,
  DidChangeTextDocumentNotification,
  DidOpenTextDocumentNotification,
  InitializedNotification,
  InitializeRequest,
  type InitializeResult,
  type ProtocolConnection,
  PublishDiagnosticsNotification,
  StreamMessageReader,
  StreamMessageWriter,
  type TextDocumentContentChangeEvent,
} from "vscode-languageserver-protocol/node";
import { folderWith } from "../run-limb.ts";

const LIMB = join(import.meta.dirname, "../../../server/bin/limb.cjs");

export interface ClientOptions {
  readonly capabilities?: object;
  readonly initializationOptions?: object;
  /** Folders of the workspace below the folder with the files; the whole of it if not said. */
  readonly roots?: readonly string[];
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

  constructor(folder: string, child: ChildProcess) {
    if (!child.stdout || !child.stdin) throw new Error("the server has no streams");
    this.folder = folder;
    this.process = child;
    this.connection = createProtocolConnection(
      new StreamMessageReader(child.stdout),
      new StreamMessageWriter(child.stdin),
    );
    this.connection.onNotification(PublishDiagnosticsNotification.type, ({ uri, diagnostics }) => {
      this.diagnostics.set(uri, diagnostics);
    });
    this.connection.onNotification(PROOF_STATE, (state: ProofState) => {
      this.states.push(state);
    });
    this.connection.onRequest("client/registerCapability", () => null);
    this.connection.listen();
  }

  uriOf(file: string): string {
    return pathToFileURL(join(this.folder, file)).toString();
  }

  async open(file: string, text: string): Promise<void> {
    this.#versions.set(file, 1);
    const textDocument = { uri: this.uriOf(file), languageId: "limb", version: 1, text };
    await this.connection.sendNotification(DidOpenTextDocumentNotification.type, { textDocument });
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

/** Starts a server and a client of it, until the test has ended. */
export async function startClient(
  files: Readonly<Record<string, string>>,
  { capabilities = {}, initializationOptions = {}, roots = [""] }: ClientOptions = {},
): Promise<Client> {
  const folder = folderWith(files);
  const child = spawn(process.execPath, [LIMB, "server", "--stdio"], { stdio: ["pipe", "pipe", "inherit"] });
  const client = new Client(folder, child);
  onTestFinished(() => {
    client.connection.dispose();
    child.kill();
  });
  client.initialized = await client.connection.sendRequest(InitializeRequest.type, {
    processId: process.pid,
    rootUri: null,
    capabilities,
    initializationOptions,
    workspaceFolders: roots.map((root) => ({ uri: client.uriOf(root).replace(/\/$/, ""), name: root })),
  });
  await client.connection.sendNotification(InitializedNotification.type, {});
  return client;
}
