import { fstatSync, readSync, writeSync } from "node:fs";
import { localDate } from "../workspace/local-date.ts";
import { codeOf } from "../workspace/trouble.ts";
import { unwritable } from "../workspace/write-whole.ts";
import { ReaderGone, type Stream, type Surroundings } from "./surroundings.ts";

/** The longest line of a text for people, also on a wider terminal. */
const WIDEST = 100;
const NARROWEST = 60;

/** The process's own folder, date and streams. */
export function processSurroundings(): Surroundings {
  return {
    currentFolder: process.cwd(),
    today: localDate(new Date()),
    output: streamOf(1),
    messages: streamOf(2),
    input: readInput,
    clock: () => Number(process.hrtime.bigint()) / 1e6,
  };
}

function streamOf(descriptor: 1 | 2): Stream {
  const isTerminal = isATerminal(descriptor);
  return {
    write: (text) => writeAll(descriptor, text),
    isTerminal,
    hasColour: isTerminal && !process.env.NO_COLOR && process.env.TERM !== "dumb",
    columns: isTerminal ? columnsOf(descriptor) : WIDEST,
  };
}

/** Asks Node's own stream only where it can be one: loading that takes longer than the rest of a start. */
function isATerminal(descriptor: 1 | 2): boolean {
  try {
    return fstatSync(descriptor).isCharacterDevice() && nodeStream(descriptor).isTTY === true;
  } catch {
    return false;
  }
}

function nodeStream(descriptor: 1 | 2): NodeJS.WriteStream {
  return descriptor === 1 ? process.stdout : process.stderr;
}

function columnsOf(descriptor: 1 | 2): number {
  const { columns } = nodeStream(descriptor);
  return Math.min(WIDEST, Math.max(NARROWEST, columns || WIDEST));
}

/** Writes at once, so that output and memory do not run apart, and an early end loses nothing. */
function writeAll(descriptor: number, text: string): void {
  const bytes = Buffer.from(text);
  for (let written = 0; written < bytes.length; ) {
    try {
      written += writeSync(descriptor, bytes, written);
    } catch (error) {
      if (codeOf(error) === "EPIPE") throw new ReaderGone("nobody reads any more", { cause: error });
      if (codeOf(error) !== "EAGAIN") throw unwritable("standard output", error);
      pause();
    }
  }
}

function readInput(most: number): Uint8Array {
  const chunks: Buffer[] = [];
  for (let length = 0; length < most; ) {
    const chunk = Buffer.alloc(65_536);
    const count = readSome(chunk);
    if (count === 0) break;
    chunks.push(chunk.subarray(0, count));
    length += count;
  }
  return Buffer.concat(chunks).subarray(0, most);
}

function readSome(chunk: Buffer): number {
  for (;;) {
    try {
      return readSync(0, chunk);
    } catch (error) {
      if (codeOf(error) === "EOF") return 0;
      if (codeOf(error) !== "EAGAIN") throw error;
      pause();
    }
  }
}

/** A stream that another program has set not to wait: give it a moment. */
function pause(): void {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 5);
}
