import {
  AbstractMessageReader,
  type DataCallback,
  type Disposable,
  type MessageReader,
} from "vscode-languageserver";
import type { Gate } from "./gate.ts";

/** A reader of whole messages whose every message goes through the gate. */
export class GatedReader extends AbstractMessageReader implements MessageReader {
  readonly #reader: MessageReader;
  readonly #gate: Gate;

  constructor(reader: MessageReader, gate: Gate) {
    super();
    this.#reader = reader;
    this.#gate = gate;
    reader.onError((error) => this.fireError(error));
    reader.onClose(() => this.fireClose());
  }

  listen(take: DataCallback): Disposable {
    return this.#reader.listen((value) => {
      const message = this.#gate.admit(value);
      if (!message) return;
      try {
        take(message);
      } catch (error) {
        this.fireError(error);
      }
    });
  }
}
