import {
  AbstractMessageReader,
  type DataCallback,
  type Disposable,
  type Message,
  type MessageReader,
  type ResponseMessage,
} from "vscode-languageserver";
import { faultInParams } from "./params.ts";

/** The error codes of JSON-RPC 2.0 and of the language server protocol. */
const PARSE_ERROR = -32700;
const INVALID_REQUEST = -32600;
const INVALID_PARAMS = -32602;
const SERVER_NOT_INITIALIZED = -32002;

type Id = string | number | null;

/**
 * Stands between what a client sends and the server: lets in what is a message of the protocol at its time, answers a
 * request that is not with an error that says why, and drops such a notification.
 */
export class Gate {
  readonly #answer: (response: ResponseMessage) => void;
  #state: "new" | "running" | "shut-down" = "new";

  constructor(answer: (response: ResponseMessage) => void) {
    this.#answer = answer;
  }

  /** The message in the bytes of one; undefined where there is none to handle. */
  admitText(bytes: Uint8Array): Message | undefined {
    let value: unknown;
    try {
      value = JSON.parse(new TextDecoder().decode(bytes));
    } catch (error) {
      this.#refuse(null, PARSE_ERROR, `This is no JSON: ${error instanceof Error ? error.message : error}.`);
      return undefined;
    }
    return this.admit(value);
  }

  admit(value: unknown): Message | undefined {
    if (typeof value !== "object" || value === null || Array.isArray(value)) {
      return this.#refuse(null, INVALID_REQUEST, "A message is one JSON object.");
    }
    const { jsonrpc, id, method, params } = value as Record<string, unknown>;
    const known = isId(id) ? id : null;
    if (jsonrpc !== "2.0") return this.#refuse(known, INVALID_REQUEST, 'A message says "jsonrpc": "2.0".');
    if (method === undefined && isId(id)) return value as unknown as Message;
    if (typeof method !== "string") {
      return this.#refuse(known, INVALID_REQUEST, "A message has a method, or answers a request by its id.");
    }
    if (id !== undefined && !isId(id)) {
      return this.#refuse(null, INVALID_REQUEST, "The id of a request is a number or a text.");
    }
    if (params !== undefined && (typeof params !== "object" || params === null)) {
      return this.#reject(id, INVALID_REQUEST, "The params of a message are an object or a list.");
    }
    return this.#admitAtItsTime(value as unknown as Message, { id, method, params });
  }

  refuseFrame(why: string): void {
    this.#refuse(null, PARSE_ERROR, why);
  }

  #admitAtItsTime(message: Message, { id, method, params }: Call): Message | undefined {
    if (method === "exit") return message;
    if (this.#state === "new" && method !== "initialize") {
      return this.#reject(id, SERVER_NOT_INITIALIZED, "The server waits for `initialize` first.");
    }
    if (this.#state === "shut-down") {
      return this.#reject(id, INVALID_REQUEST, "The server was shut down; only `exit` can follow.");
    }
    if (this.#state === "running" && method === "initialize") {
      return this.#reject(id, INVALID_REQUEST, "The server was initialized before.");
    }
    const fault = faultInParams(method, params);
    if (fault !== undefined) return this.#reject(id, INVALID_PARAMS, `\`${method}\`: ${fault}.`);
    if (id !== undefined && method === "initialize") this.#state = "running";
    if (id !== undefined && method === "shutdown") this.#state = "shut-down";
    return message;
  }

  /** A notification has no answer, also when it is wrong. */
  #reject(id: unknown, code: number, message: string): undefined {
    if (isId(id)) this.#refuse(id, code, message);
  }

  #refuse(id: Id, code: number, message: string): undefined {
    this.#answer({ jsonrpc: "2.0", id, error: { code, message } });
  }
}

interface Call {
  readonly id: unknown;
  readonly method: string;
  readonly params: unknown;
}

function isId(value: unknown): value is string | number {
  return typeof value === "string" || typeof value === "number";
}

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
