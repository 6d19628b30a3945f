import { type ChildProcess, spawn } from "node:child_process";
import { join } from "node:path";
import fc from "fast-check";
import { expect, onTestFinished, test } from "vitest";
import { again, firstSeed, howMany } from "../../questions.ts";
import { serverForAll } from "./client.ts";
import { PROTOCOL, SITE } from "./small-site.ts";

const startClient = serverForAll();

const LIMB = join(import.meta.dirname, "../../../server/bin/limb.cjs");

interface Answer {
  readonly id: unknown;
  readonly result?: unknown;
  readonly error?: { readonly code: number; readonly message: string };
}

/** A server that is sent bytes as they are, with the answers it gives. */
function bareServer() {
  const child: ChildProcess = spawn(process.execPath, [LIMB, "server", "--stdio"], {
    stdio: ["pipe", "pipe", "inherit"],
  });
  onTestFinished(() => void child.kill());
  const answers: Answer[] = [];
  let received = Buffer.alloc(0);
  child.stdout?.on("data", (bytes: Buffer) => {
    received = Buffer.concat([received, bytes]);
    for (;;) {
      const header = /^Content-Length: (\d+)\r\n\r\n/.exec(received.toString("latin1"));
      const length = Number(header?.[1]);
      if (!header || received.length < header[0].length + length) return;
      const body = received.subarray(header[0].length, header[0].length + length).toString("utf8");
      received = received.subarray(header[0].length + length);
      answers.push(JSON.parse(body));
    }
  });
  const raw = (bytes: string | Uint8Array) => void child.stdin?.write(bytes);
  const body = (text: string) => raw(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`);
  const send = (message: object) => body(JSON.stringify({ jsonrpc: "2.0", ...message }));
  const answerTo = async (id: number) => {
    await expect.poll(() => answers.some((answer) => answer.id === id), { timeout: 20_000 }).toBe(true);
    return answers.find((answer) => answer.id === id);
  };
  const initialize = async () => {
    send({ id: 1, method: "initialize", params: { processId: null, rootUri: null, capabilities: {} } });
    await answerTo(1);
  };
  return { child, answers, raw, body, send, answerTo, initialize };
}

const HOVER = { method: "textDocument/hover", params: {} };

test("before `initialize` and after `shutdown` requests are refused by their codes", async () => {
  const server = bareServer();
  server.send({ id: 7, ...HOVER });
  expect((await server.answerTo(7))?.error?.code).toBe(-32002);
  await server.initialize();
  server.send({ id: 8, method: "initialize", params: { capabilities: {} } });
  expect((await server.answerTo(8))?.error?.code).toBe(-32600);
  server.send({ id: 9, method: "shutdown" });
  expect((await server.answerTo(9))?.result).toBeNull();
  server.send({ id: 10, ...HOVER });
  expect((await server.answerTo(10))?.error?.code).toBe(-32600);
  const code = new Promise((resolve) => server.child.once("exit", resolve));
  server.send({ method: "exit" });
  expect(await code).toBe(0);
});

test("what is no message is answered with an error, and the next message is read", async () => {
  const server = bareServer();
  await server.initialize();
  const codesOf = async (send: () => void) => {
    const before = server.answers.length;
    send();
    server.send({ id: 99 + before, method: "no/such/method" });
    const last = await server.answerTo(99 + before);
    return [...server.answers.slice(before, -1).map(({ error }) => error?.code), last?.error?.code];
  };
  expect(await codesOf(() => server.body("{ no json"))).toEqual([-32700, -32601]);
  expect(await codesOf(() => server.body("[]"))).toEqual([-32600, -32601]);
  expect(await codesOf(() => server.body('"text"'))).toEqual([-32600, -32601]);
  expect(await codesOf(() => server.body('{"jsonrpc":"1.0","id":4,"method":"x"}'))).toEqual([-32600, -32601]);
  expect(await codesOf(() => server.send({ id: 5, method: 7 }))).toEqual([-32600, -32601]);
  expect(await codesOf(() => server.send({ id: {}, method: "x" }))).toEqual([-32600, -32601]);
  expect(await codesOf(() => server.send({ id: 6, method: "x", params: 3 }))).toEqual([-32600, -32601]);
  expect(await codesOf(() => server.raw("Content-Type: nothing\r\n\r\n"))).toEqual([-32700, -32601]);
  expect(await codesOf(() => server.raw(new Uint8Array([0xff, 0xfe, 13, 10, 13, 10])))).toEqual([
    -32700, -32601,
  ]);
  const huge = 64_000_001;
  expect(
    await codesOf(() => {
      server.raw(`Content-Length: ${huge}\r\n\r\n`);
      for (let sent = 0; sent < huge; sent += 8_000_000)
        server.raw(Buffer.alloc(Math.min(8_000_000, huge - sent), 32));
    }),
  ).toEqual([-32700, -32601]);
});

test("params that a method cannot use are named in the answer", async () => {
  const client = await startClient(SITE);
  const hover = (params: object) => client.connection.sendRequest("textDocument/definition", params);
  await expect(hover({})).rejects.toThrow("textDocument is no object");
  await expect(hover({ textDocument: { uri: 3 }, position: {} })).rejects.toThrow(
    "textDocument.uri is no text",
  );
  const uri = client.uriOf("wrist.limb");
  const position = { line: -1, character: 0.5 };
  await expect(hover({ textDocument: { uri }, position })).rejects.toThrow(
    "position.line is no whole number",
  );
});

test("random messages leave the server alive", { timeout: 120_000 }, async () => {
  const server = bareServer();
  await server.initialize();
  const uri = "file:///nowhere/wrist.limb";
  const textDocument = fc.oneof(
    fc.constant({ uri, version: 2, languageId: "limb", text: PROTOCOL }),
    fc.anything(),
  );
  const number = fc.oneof(fc.nat(60), fc.integer(), fc.double(), fc.constant(2 ** 31));
  const position = fc.record({ line: number, character: number }, { requiredKeys: [] });
  const range = fc.record({ start: position, end: position }, { requiredKeys: [] });
  const params = fc.record(
    {
      textDocument,
      position,
      range,
      positions: fc.array(position, { maxLength: 3 }),
      contentChanges: fc.array(fc.record({ range, text: fc.string() }, { requiredKeys: [] }), {
        maxLength: 3,
      }),
      newName: fc.oneof(fc.string(), fc.constant("other")),
      context: fc.anything(),
      query: fc.string(),
      item: fc.anything(),
      files: fc.array(fc.record({ oldUri: fc.webUrl(), newUri: fc.webUrl() }), { maxLength: 2 }),
      changes: fc.array(fc.record({ uri: fc.constant(uri), type: fc.nat(4) }), { maxLength: 2 }),
      event: fc.anything(),
    },
    { requiredKeys: [] },
  );
  const method = fc.constantFrom(
    ...["didOpen", "didChange", "didClose", "hover", "completion", "definition", "references"].map(ofText),
    ...["documentHighlight", "rename", "prepareRename", "documentSymbol", "foldingRange"].map(ofText),
    ...["selectionRange", "semanticTokens/full", "inlayHint", "codeLens", "codeAction"].map(ofText),
    ...["formatting", "rangeFormatting", "documentLink", "prepareCallHierarchy", "signatureHelp"].map(ofText),
    "callHierarchy/incomingCalls",
    "workspace/symbol",
    "workspace/executeCommand",
    "workspace/didChangeWatchedFiles",
    "workspace/didChangeWorkspaceFolders",
    "workspace/willRenameFiles",
    "initialized",
    "$/cancelRequest",
  );
  const seed = firstSeed();
  const messages = fc.sample(fc.record({ method, params, isRequest: fc.boolean() }), {
    numRuns: howMany(3_000),
    seed,
  });
  messages.forEach(({ method: of, params: given, isRequest }, index) => {
    server.send({ ...(isRequest && { id: 1000 + index }), method: of, params: given });
  });
  server.send({ id: 5000, method: "textDocument/documentLink", params: { textDocument: { uri } } });
  await expect
    .poll(() => server.answers.some(({ id }) => id === 5000), { timeout: 100_000, interval: 100 })
    .toBe(true);
  const requests = messages.filter(({ isRequest }) => isRequest).length;
  const answered = server.answers.filter(({ id }) => Number(id) >= 1000 && Number(id) < 4000);
  expect(answered.length, again(seed)).toBe(requests);
  const internal = answered.filter(({ error }) => error?.code === -32603);
  expect(internal.map(({ error }) => error?.message).slice(0, 3), again(seed)).toEqual([]);
});

function ofText(name: string): string {
  return `textDocument/${name}`;
}
