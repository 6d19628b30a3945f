import type { Unread } from "@limbwright/language";

/** What a command needs of the world around it, so that it can be run in another. */
export interface Surroundings {
  readonly currentFolder: string;
  /** The local date, YYYY-MM-DD. */
  readonly today: string;
  /** Where results go. */
  readonly output: Stream;
  /** Where messages about the work itself go. */
  readonly messages: Stream;
  /** The next bytes of standard input, `most` of them at most; none at its end. */
  readonly input: (most: number) => Uint8Array;
  /** Milliseconds that only grow, to tell long work from short. */
  readonly clock: () => number;
}

/** Says what stood in the way. */
export function tellTroubles(troubles: readonly Unread[], { messages }: Surroundings): void {
  for (const { what, next } of troubles) messages.write(`limb: ${what} ${next}\n`);
}

/** A value as every command prints it as JSON. */
export function jsonText(value: unknown): string {
  return `${JSON.stringify(value, undefined, 2)}\n`;
}

export interface Stream {
  /** Throws `ReaderGone` when nobody reads any more. */
  readonly write: (text: string) => void;
  readonly isTerminal: boolean;
  readonly hasColour: boolean;
  readonly columns: number;
}

/** The other end of a pipe was closed: there is nobody to write for. */
export class ReaderGone extends Error {}

/** A command at work. It ends by saying with which code the process has to exit. */
export interface Invocation extends Surroundings {
  readonly finish: (code: ExitCode) => void;
}

/** 0: nothing found. 1: something found. 2: wrong usage, or something could not be read or written. 3: nothing found, but not all was decided. */
export type ExitCode = 0 | 1 | 2 | 3;
