import { BrowserMessageReader, BrowserMessageWriter, createConnection } from "vscode-languageserver/browser";
import { localDate } from "../workspace/local-date.ts";
import { folderOfClient } from "./folders/folder-of-client.ts";
import { Gate } from "./messages/gate.ts";
import { GatedReader } from "./messages/gated-reader.ts";
import { inlineProver } from "./prover/inline-prover.ts";
import { PROVER_NAME, runWebProver, webProver } from "./prover/web-prover.ts";
import { workerScope } from "./prover/web-worker.ts";
import { serve } from "./start.ts";

const scope = workerScope();

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

if (scope.name === PROVER_NAME) runWebProver(scope);
else serveMessages();
