import { spawn } from "node:child_process";
import { pathToFileURL } from "node:url";
import protocol from "vscode-languageserver-protocol/node.js";

/** A client of a language server that times what comes back. Notifications are told to `onNotification`. */
export async function editorClient({ command, folder, settings = {} }) {
  const child = spawn(process.execPath, command, { stdio: ["pipe", "pipe", "ignore"] });
  const connection = protocol.createProtocolConnection(
    new protocol.StreamMessageReader(child.stdout),
    new protocol.StreamMessageWriter(child.stdin),
  );
  const waiting = new Set();
  connection.onNotification((method, params) => {
    for (const one of [...waiting]) {
      if (!one.isAwaited(method, params)) continue;
      waiting.delete(one);
      one.resolve(performance.now());
    }
  });
  connection.onRequest("workspace/configuration", ({ items }) =>
    items.map(({ section }) => settings[section] ?? {}),
  );
  connection.onRequest("client/registerCapability", () => null);
  connection.listen();
  const uri = pathToFileURL(folder).toString();
  await connection.sendRequest("initialize", {
    processId: process.pid,
    rootUri: uri,
    capabilities: {
      workspace: { configuration: true, didChangeWatchedFiles: { dynamicRegistration: true } },
      textDocument: { publishDiagnostics: { versionSupport: true } },
    },
    workspaceFolders: [{ uri, name: "bench" }],
  });
  await connection.sendNotification("initialized", {});
  await connection.sendNotification("workspace/didChangeConfiguration", { settings });
  return {
    uri,
    child,
    send: (method, params) => connection.sendNotification(method, params),
    ask: (method, params) => connection.sendRequest(method, params),
    /** The time until a notification comes that is awaited, in ms, from when `act` is called. */
    timeUntil: async (isAwaited, act) => {
      const came = new Promise((resolve) => waiting.add({ isAwaited, resolve }));
      const start = performance.now();
      await act();
      return (await came) - start;
    },
    end: () => {
      connection.dispose();
      child.kill();
    },
  };
}
