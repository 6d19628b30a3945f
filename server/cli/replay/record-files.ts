import { closeSync, fstatSync, openSync, readdirSync, readSync, statSync } from "node:fs";
import { join, relative, resolve } from "node:path";
import { unreadable } from "../../workspace/read-text.ts";
import { Trouble } from "../../workspace/trouble.ts";

/** A file with case records: its path, or `-` for standard input, and how the reader knows it. */
export interface RecordFile {
  readonly path: string;
  readonly name: string;
  readonly bytes: number;
}

/** What case records are called in a folder. */
const SUFFIX = /\.(csv|jsonl|ndjson)$/i;
const PIECE = 1 << 16;

/** The files that were named, those of folders by name, each once; and what could not be found. */
export function recordFiles(
  names: readonly string[],
  currentFolder: string,
): { readonly files: readonly RecordFile[]; readonly troubles: readonly Trouble[] } {
  const files = new Map<string, RecordFile>();
  const troubles: Trouble[] = [];
  for (const name of names) {
    try {
      for (const file of filesOf(name, currentFolder)) files.set(file.path, file);
    } catch (error) {
      troubles.push(error instanceof Trouble ? error : unreadable(name, error));
    }
  }
  return { files: [...files.values()], troubles };
}

function filesOf(name: string, currentFolder: string): RecordFile[] {
  if (name === "-") return [{ path: "-", name: "standard-input", bytes: 0 }];
  const path = resolve(currentFolder, name);
  const stats = statSync(path);
  if (!stats.isDirectory()) return [{ path, name, bytes: stats.size }];
  const found = readdirSync(path, { recursive: true, encoding: "utf8" })
    .filter((inside) => SUFFIX.test(inside))
    .sort()
    .map((inside) => join(path, inside));
  if (found.length === 0) {
    throw new Trouble({
      file: name,
      what: `The folder ${name} holds no case record: no file ends in .csv, .jsonl or .ndjson.`,
      next: "Name a folder that holds case records, or the files.",
    });
  }
  return found.map((file) => ({
    path: file,
    name: relative(currentFolder, file).replaceAll("\\", "/"),
    bytes: statSync(file).size,
  }));
}

/** Opens a file to be read piece by piece. Throws `Trouble`. */
export function openRecord({ path, name }: Pick<RecordFile, "path" | "name">): {
  readonly read: () => Uint8Array;
  readonly close: () => void;
} {
  try {
    const descriptor = openSync(path, "r");
    if (fstatSync(descriptor).isDirectory()) throw new Error(`${name} is a folder`);
    const piece = Buffer.alloc(PIECE);
    return {
      read: () => piece.subarray(0, readSync(descriptor, piece)),
      close: () => closeSync(descriptor),
    };
  } catch (error) {
    throw unreadable(name, error);
  }
}

/** How a case is called whose record has no column for that: the file without its folder and ending. */
export function caseNameOf(name: string): string {
  return name.replace(/^.*\//, "").replace(SUFFIX, "");
}
