import type { ProofState } from "@limbwright/shared/editor";
import type { ClientCapabilities, Connection, WorkDoneProgressServerReporter } from "vscode-languageserver";

/** How long work goes on before it is shown, in ms. */
const PATIENCE = 1000;

/** Shows the client that a check goes on, once it takes more than a second, and lets it be stopped there. */
export class Progress {
  readonly #connection: Connection;
  readonly #isSupported: boolean;
  readonly #stop: () => void;
  #waiting: ReturnType<typeof setTimeout> | undefined;
  #shown: Promise<WorkDoneProgressServerReporter> | undefined;

  constructor(connection: Connection, client: ClientCapabilities, stop: () => void) {
    this.#connection = connection;
    this.#isSupported = client.window?.workDoneProgress ?? false;
    this.#stop = stop;
  }

  follow(state: ProofState): void {
    if (!this.#isSupported) return;
    if (!state.isRunning) this.#end();
    else if (this.#shown !== undefined) this.#report(state);
    else this.#waiting ??= setTimeout(() => this.#begin(), PATIENCE);
  }

  #begin(): void {
    this.#shown = this.#connection.window.createWorkDoneProgress().then((progress) => {
      progress.begin("Limbwright: going through the runs", undefined, undefined, true);
      progress.token.onCancellationRequested(this.#stop);
      return progress;
    });
    this.#shown.catch(() => {});
  }

  #report({ protocols, filesLeft }: ProofState): void {
    const left = protocols.filter(({ state }) => state === "stale").length + filesLeft;
    this.#shown?.then((progress) => progress.report(`${left} still to be checked`)).catch(() => {});
  }

  #end(): void {
    clearTimeout(this.#waiting);
    this.#waiting = undefined;
    this.#shown?.then((progress) => progress.done()).catch(() => {});
    this.#shown = undefined;
  }
}
