import { isMainThread } from "node:worker_threads";
import { createConnection, StreamMessageWriter } from "vscode-languageserver/node";
import { localDate } from "../workspace/local-date.ts";
import { folderOnDisk } from "./folders/folder-on-disk.ts";
import { followCommits } from "./folders/follow-commits.ts";
import { FramedReader } from "./messages/framed-reader.ts";
import { Gate } from "./messages/gate.ts";
import type { Platform } from "./platform.ts";
import { nodeProver, runNodeProver } from "./prover/node-prover.ts";
import { serve } from "./start.ts";

const PLATFORM: Platform = {
  today: () => localDate(new Date()),
  openFolder: folderOnDisk,
  followCommits,
  startProver: () => nodeProver(__filename),
};

/** Serves over standard input and output; nothing else may be written there. */
export function serveStandardStreams(): void {
  const writer = new StreamMessageWriter(process.stdout);
  const reader = new FramedReader(process.stdin, new Gate((answer) => writer.write(answer)));
  process.stdin.on("end", () => process.exit(1));
  const connection = createConnection(reader, writer);
  // A client that does not answer as it should, or a fault of ours, is told and must not end the service.
  process.on("unhandledRejection", (error) => connection.console.error(`${error}`));
  serve(connection, PLATFORM);
}

if (!isMainThread) runNodeProver();
