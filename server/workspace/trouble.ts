import type { Unread } from "@limbwright/language";

/**
 * Something outside the program that stands in the way: a file, a folder, a disk. Both parts are sentences
 * for the person at the keyboard: what is wrong, where and why; and what to do next.
 */
export class Trouble extends Error implements Unread {
  readonly file: string;
  readonly what: string;
  readonly next: string;

  constructor({ file, what, next }: Unread, options?: ErrorOptions) {
    super(`${what} ${next}`, options);
    this.file = file;
    this.what = what;
    this.next = next;
  }
}

/** What stands in the way of one thing is kept, and does not end the work on the others. */
export function keepTrouble(troubles: Trouble[], work: () => void): void {
  try {
    work();
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    troubles.push(error);
  }
}

/** A folder holds nothing of what a command works on. */
export class NothingThere extends Trouble {}

/** The system's own code of an error, such as ENOENT; empty for anything else. */
export function codeOf(error: unknown): string {
  return error instanceof Error && "code" in error ? String(error.code) : "";
}
