import { readFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { LIST_FILES, PROOF_STATE, READ_FILE, WHEN_CHECKED } from "@limbwright/shared/editor";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Diagnostic } from "vscode-languageserver-protocol";
import { filesIn, textOf } from "../../examples/site.ts";
import { asksAll, firstSeed } from "../../questions.ts";
import { openBrowser } from "../open-browser.ts";
import { startClient } from "./client.ts";

const WORKER = join(import.meta.dirname, "../../../server/dist/language-server-worker.js");
const USED = "flawed/fixed-volume.limb";
/** Each is judged twice: on each commit every third of the flawed ones, others in each run, and every night all of them. */
const FLAWED = filesIn("flawed").filter(
  (file, at) => asksAll() || file === USED || at % 3 === firstSeed() % 3,
);
const FILES = Object.fromEntries([...filesIn("."), ...FLAWED].map((file) => [file, textOf(file) ?? ""]));

let server: Server;

beforeAll(async () => {
  server = createServer(({ url }, response) => {
    response.setHeader("content-type", url === "/worker.js" ? "text/javascript" : "text/html");
    response.end(url === "/worker.js" ? readFileSync(WORKER) : "<!doctype html><title>A page</title>");
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  await openBrowser();
}, 60_000);

afterAll(() => server?.close());

interface Asked {
  /** A file that is open before the worker is told of any other. */
  readonly open?: { readonly uri: string; readonly text: string };
  readonly files: Readonly<Record<string, string>>;
  readonly folder: string;
  readonly methods: Readonly<Record<"list" | "read" | "checked" | "state", string>>;
}

/** Runs in the page: a client of the worker that opens one file and waits until all is checked. */
function inPage({ open, files, folder, methods }: Asked): Promise<Record<string, unknown>> {
  const worker = new (globalThis as unknown as { Worker: new (url: string) => WorkerLike }).Worker(
    "/worker.js",
  );
  const found: Record<string, unknown> = {};
  const send = (message: object) => worker.postMessage({ jsonrpc: "2.0", ...message });
  return new Promise((resolve) => {
    worker.onmessage = ({ data }) => {
      if (data.id === "start") {
        send({ method: "initialized", params: {} });
        if (open) {
          const textDocument = { ...open, languageId: "limb", version: 1 };
          send({ method: "textDocument/didOpen", params: { textDocument } });
        }
        send({ id: "checked", method: methods.checked });
      } else if (data.id === "checked") {
        resolve(found);
      } else if (data.method === methods.list) {
        setTimeout(() => send({ id: data.id, result: Object.keys(files) }), open ? 500 : 0);
      } else if (data.method === methods.read) {
        send({ id: data.id, result: files[data.params.uri.slice(folder.length + 1)] ?? null });
      } else if (data.method === "textDocument/publishDiagnostics") {
        found[data.params.uri] = data.params.diagnostics;
      } else if (data.method !== methods.state && data.id !== undefined) {
        send({ id: data.id, result: null });
      }
    };
    const workspaceFolders = [{ uri: folder, name: "hospital" }];
    const capabilities = { workspace: { didChangeWatchedFiles: { dynamicRegistration: true } } };
    send({
      id: "start",
      method: "initialize",
      params: { processId: null, rootUri: null, capabilities, workspaceFolders },
    });
  });
}

interface WorkerLike {
  postMessage(message: unknown): void;
  onmessage: (event: {
    data: { id?: unknown; method?: string; params: { uri: string; diagnostics: unknown } };
  }) => void;
}

test("in a web worker the server finds what it finds in Node", { timeout: 60_000 }, async () => {
  const page = await (await openBrowser()).newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
  const folder = "memory:/hospital";
  const methods = { list: LIST_FILES, read: READ_FILE, checked: WHEN_CHECKED, state: PROOF_STATE };
  const inWorker = (await page.evaluate(inPage, { files: FILES, folder, methods })) as Record<
    string,
    Diagnostic[]
  >;
  const client = await startClient(FILES);
  await client.settled();
  const relative = (found: Iterable<[string, readonly Diagnostic[]]>, root: string) =>
    Object.fromEntries(
      [...found].flatMap(([uri, diagnostics]) =>
        diagnostics.length > 0
          ? [[uri.slice(root.length), JSON.stringify(diagnostics).replaceAll(root, "")]]
          : [],
      ),
    );
  const inNode = relative(client.diagnostics, client.uriOf("").replace(/\/$/, ""));
  expect(relative(Object.entries(inWorker), folder)).toEqual(inNode);
  expect(Object.keys(inNode).length).toBeGreaterThan(FLAWED.length / 2 + 1);
});

test("what a file uses is read, although it was opened before the folder was listed", {
  timeout: 60_000,
}, async () => {
  const page = await (await openBrowser()).newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
  const folder = "memory:/hospital";
  const file = USED;
  const open = { uri: `${folder}/${file}`, text: FILES[file] ?? "" };
  const files = Object.fromEntries(
    Object.entries(FILES).filter(([name]) => name === file || !name.includes("/")),
  );
  const methods = { list: LIST_FILES, read: READ_FILE, checked: WHEN_CHECKED, state: PROOF_STATE };
  const found = (await page.evaluate(inPage, { open, files, folder, methods })) as Record<
    string,
    Diagnostic[]
  >;
  expect(found[open.uri]?.map(({ code }) => code)).toEqual(["dose-over-maximum"]);
});
