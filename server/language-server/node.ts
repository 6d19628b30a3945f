import { isMainThread } from "node:worker_threads";
import { createConnection, StreamMessageWriter } from "vscode-languageserver/node";
import { localDate } from "../workspace/local-date.ts";
import { folderOnDisk } from "./folders/folder-on-disk.ts";
import { FramedReader } from "./messages/framed-reader.ts";
import { Gate } from "./messages/gate.ts";
import type { Platform } from "./platform.ts";
import { nodeProver, runNodeProver } from "./prover/node-prover.ts";
import { serve } from "./start.ts";

const PLATFORM: Platform = {
  today: () => localDate(new Date()),
  openFolder: folderOnDisk,
  startProver: () => nodeProver(__filename),
};

/** Serves over standard input and output; nothing else may be written there. */
export function serveStandardStreams(): void {
  const writer = new StreamMessageWriter(process.stdout);
  const reader = new FramedReader(process.stdin, new Gate((answer) => writer.write(answer)));
  process.stdin.on("end", () => process.exit(1));
  serve(createConnection(reader, writer), PLATFORM);
}

if (!isMainThread) runNodeProver();
