import { LIST_FILES, READ_FILE } from "@limbwright/shared/editor";
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  type Connection,
  createConnection,
} from "vscode-languageserver/browser";
import { URI, Utils } from "vscode-uri";
import { localDate } from "../workspace/local-date.ts";
import { Gate, GatedReader } from "./messages/gate.ts";
import type { FolderFiles } from "./platform.ts";
import { inlineProver } from "./prover/inline-prover.ts";
import { PROVER_NAME, runWebProver, type WorkerScope, webProver } from "./prover/web-prover.ts";
import { serve } from "./start.ts";

/** The worker in which this runs. */
const scope = globalThis as unknown as WorkerScope;

/** Serves as a web worker, over its messages. */
function serveMessages(): void {
  const port = scope as unknown as ConstructorParameters<typeof BrowserMessageWriter>[0];
  const writer = new BrowserMessageWriter(port);
  const gate = new Gate((answer) => writer.write(answer));
  const connection = createConnection(new GatedReader(new BrowserMessageReader(port), gate), writer);
  serve(connection, {
    today: () => localDate(new Date()),
    openFolder: (uri) => folderOfClient(connection, uri),
    startProver: () => {
      try {
        return webProver(scope);
      } catch {
        // Some editors let a worker start no other.
        return inlineProver();
      }
    },
  });
}

/** The files of a folder as the client gives them, for a server that has no file system. */
function folderOfClient(connection: Connection, folder: string): FolderFiles {
  const texts = new Map<string, string>();
  const refresh = async (file: string) => {
    const uri = Utils.joinPath(URI.parse(folder), file).toString();
    const text = await connection.sendRequest<string | null>(READ_FILE, { uri });
    if (typeof text === "string") texts.set(file, text);
    else texts.delete(file);
  };
  return {
    list: async () => {
      const listed = await connection.sendRequest<readonly string[]>(LIST_FILES, { folder });
      const files = [...listed].filter((file) => typeof file === "string" && isInside(file)).sort();
      await Promise.all(files.map(refresh));
      return files;
    },
    read: (file) => texts.get(file),
    refresh,
    // The client alone knows when a file of it changes.
    watch: () => () => {},
  };
}

function isInside(file: string): boolean {
  return !file.startsWith("/") && !file.split("/").includes("..");
}

if (scope.name === PROVER_NAME) runWebProver(scope);
else serveMessages();
