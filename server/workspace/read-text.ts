import { readFileSync, statSync } from "node:fs";
import { thousands } from "@limbwright/shared/quantity";
import { codeOf, Trouble } from "./trouble.ts";

/**
 * The most bytes of a file that are read at all. A text that is longer than the language takes (a million
 * characters of at most three bytes, or four for two) cannot be shorter than this, so nothing is lost.
 */
export const MOST_BYTES = 4_000_000;

/** The text of a file, which has to be UTF-8. `name` is how the reader knows it. Throws `Trouble`. */
export function readText(path: string, name: string, most = MOST_BYTES): string {
  try {
    const stats = statSync(path);
    if (stats.isDirectory()) {
      throw new Trouble({ file: name, what: `${name} is a folder, not a file.`, next: "Name a file in it." });
    }
    if (!stats.isFile()) {
      throw new Trouble({
        file: name,
        what: `${name} is not a file but a device or a pipe.`,
        next: "Give its content on standard input instead, with - as the file.",
      });
    }
    if (stats.size > most) throw tooLong(name, stats.size, most);
    return decodeText(readFileSync(path), name, most);
  } catch (error) {
    throw error instanceof Trouble ? error : unreadable(name, error);
  }
}

/** Text from its bytes: strictly UTF-8; a byte order mark is left out. Throws `Trouble`. */
export function decodeText(bytes: Uint8Array, name: string, most = MOST_BYTES): string {
  if (bytes.length > most) throw tooLong(name, bytes.length, most);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch (error) {
    throw new Trouble(
      {
        file: name,
        what: `${name} cannot be read as text: line ${lineOfFault(bytes)} holds bytes that are not UTF-8.`,
        next: isUtf16(bytes)
          ? "It looks like UTF-16. Save it as UTF-8 in your editor, then try again."
          : "Save it as UTF-8 in your editor, then try again.",
      },
      { cause: error },
    );
  }
}

/** Why a path cannot be read, in words. */
export function unreadable(name: string, error: unknown): Trouble {
  const [what, next] = REASONS[codeOf(error)] ?? [
    `cannot be read (${codeOf(error) || String(error)}).`,
    "Look at the file and its disk, then try again.",
  ];
  return new Trouble({ file: name, what: `${name} ${what}`, next }, { cause: error });
}

const REASONS: Readonly<Record<string, readonly [string, string]>> = {
  ENOENT: ["does not exist.", "Check the spelling, and the folder you are in."],
  ENOTDIR: ["does not exist: a part of its path is a file, not a folder.", "Check the spelling."],
  EACCES: ["may not be read by you.", "Ask its owner for the permission to read it."],
  EPERM: ["may not be read by you.", "Ask its owner for the permission to read it."],
  ELOOP: ["is a link that leads back to itself.", "Remove the link, or let it lead to the file."],
  EISDIR: ["is a folder, not a file.", "Name a file in it."],
  ENAMETOOLONG: ["has a name that is too long for this system.", "Check what was given as a file."],
};

/** Why a file of so many bytes is not read, in words. */
export function tooLong(name: string, size: number, most = MOST_BYTES): Trouble {
  const limit =
    most === MOST_BYTES ? `${thousands(1_000_000)} characters are` : `${thousands(most)} bytes are`;
  return new Trouble({
    file: name,
    what: `${name} has ${thousands(size)} bytes; a protocol is a few pages, so this is something else.`,
    next: `Name the file you meant. At most ${limit} read from one file.`,
  });
}

function lineOfFault(bytes: Uint8Array): number {
  const text = new TextDecoder("utf-8").decode(bytes);
  const fault = text.indexOf("\ufffd");
  return text.slice(0, Math.max(fault, 0)).split("\n").length;
}

function isUtf16(bytes: Uint8Array): boolean {
  const [first, second] = bytes;
  return (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);
}
