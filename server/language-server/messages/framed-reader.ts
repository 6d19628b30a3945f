import {
  AbstractMessageReader,
  type DataCallback,
  type Disposable,
  type Message,
  type MessageReader,
} from "vscode-languageserver";
import type { Gate } from "./gate.ts";

/** The largest message that is taken in; a file of the language is far smaller. */
const MOST_BYTES = 64_000_000;

const HEADER_END = "\r\n\r\n";
const LENGTH = /^content-length:[ \t]*(\d{1,15})[ \t]*$/im;

/** A stream of bytes, such as standard input. */
export interface ByteSource {
  on(event: "data", listener: (bytes: Uint8Array) => void): unknown;
  on(event: "error", listener: (error: Error) => void): unknown;
  on(event: "end", listener: () => void): unknown;
}

/**
 * Reads the messages of a client from a stream of bytes, each after a header that says its length. What is no message is
 * answered by the gate, and reading goes on with the next header: nothing a client sends ends the server.
 */
export class FramedReader extends AbstractMessageReader implements MessageReader {
  readonly #source: ByteSource;
  readonly #gate: Gate;
  #chunks: Uint8Array[] = [];
  #waiting = 0;
  /** The length of the body that comes next; undefined while a header is read. */
  #length: number | undefined;
  /** How many bytes of a body that is too long are still to be passed over. */
  #passingOver = 0;

  constructor(source: ByteSource, gate: Gate) {
    super();
    this.#source = source;
    this.#gate = gate;
  }

  listen(take: DataCallback): Disposable {
    this.#source.on("data", (bytes) => this.#read(bytes, take));
    this.#source.on("error", (error) => this.fireError(error));
    this.#source.on("end", () => this.fireClose());
    return { dispose: () => {} };
  }

  #read(bytes: Uint8Array, take: DataCallback): void {
    this.#chunks.push(bytes);
    this.#waiting += bytes.length;
    while (this.#step(take));
  }

  /** Takes one header or body from what is waiting; false when it is not all there yet. */
  #step(take: DataCallback): boolean {
    if (this.#passingOver > 0) return this.#passOver();
    if (this.#length === undefined) return this.#readHeader();
    if (this.#waiting < this.#length) return false;
    const body = this.#takeBytes(this.#length);
    this.#length = undefined;
    const message = this.#gate.admitText(body);
    if (message) this.#hand(message, take);
    return true;
  }

  /** What goes wrong with one message must not end the reading of the next. */
  #hand(message: Message, take: DataCallback): void {
    try {
      take(message);
    } catch (error) {
      this.fireError(error);
    }
  }

  #passOver(): boolean {
    const passed = Math.min(this.#passingOver, this.#waiting);
    this.#takeBytes(passed);
    this.#passingOver -= passed;
    return passed > 0;
  }

  #readHeader(): boolean {
    const all = this.#joinChunks();
    const end = indexOfText(all, HEADER_END);
    if (end < 0) {
      if (all.length > MOST_HEADER) this.#takeBytes(all.length - HEADER_END.length);
      return false;
    }
    const header = new TextDecoder("latin1").decode(this.#takeBytes(end + HEADER_END.length));
    const length = LENGTH.exec(header)?.[1];
    if (length === undefined) {
      this.#gate.refuseFrame("The header of a message does not say its length: Content-Length is missing.");
      return true;
    }
    if (Number(length) > MOST_BYTES) {
      this.#gate.refuseFrame(`A message of ${length} bytes is too long; at most ${MOST_BYTES} are taken in.`);
      this.#passingOver = Number(length);
      return true;
    }
    this.#length = Number(length);
    return true;
  }

  #joinChunks(): Uint8Array {
    if (this.#chunks.length !== 1) this.#chunks = [Buffer.concat(this.#chunks)];
    return this.#chunks[0] ?? new Uint8Array();
  }

  #takeBytes(count: number): Uint8Array {
    const all = this.#joinChunks();
    const taken = all.subarray(0, count);
    this.#chunks = [all.subarray(count)];
    this.#waiting = all.length - count;
    return taken;
  }
}

/** A header is a line or two; more than this without an end is none. */
const MOST_HEADER = 8_192;

function indexOfText(bytes: Uint8Array, text: string): number {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).indexOf(text, 0, "latin1");
}
