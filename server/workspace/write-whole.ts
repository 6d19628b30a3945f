import * as node from "node:fs";
import { basename, dirname, join } from "node:path";
import { codeOf, Trouble } from "./trouble.ts";

/** What writing needs of a file system. */
export type WritableSystem = Pick<
  typeof node,
  | "chmodSync"
  | "closeSync"
  | "fsyncSync"
  | "openSync"
  | "realpathSync"
  | "renameSync"
  | "rmSync"
  | "statSync"
  | "writeSync"
>;

/**
 * Writes a file whole or not at all: first beside it under another name, then to the disk, then into its
 * place. Whoever reads it sees what was there before, or all of the new. `name` is how the reader knows it.
 * Throws `Trouble`, and leaves nothing behind, when it cannot be written.
 */
export function writeWhole(path: string, name: string, text: string, system: WritableSystem = node): void {
  const target = targetOf(path, name, system);
  const unfinished = join(dirname(target.path), `.${basename(target.path)}.${process.pid}.unfinished`);
  try {
    writeSynced(unfinished, text, system);
    if (target.mode !== undefined) system.chmodSync(unfinished, target.mode);
    system.renameSync(unfinished, target.path);
  } catch (error) {
    system.rmSync(unfinished, { force: true });
    throw unwritable(name, error);
  }
  syncFolder(dirname(target.path), system);
}

interface Target {
  /** Where the file really is, so that a link to it stays a link. */
  readonly path: string;
  /** Its permissions; undefined for a file that is not there yet. */
  readonly mode?: number;
}

function targetOf(path: string, name: string, system: WritableSystem): Target {
  let stats: node.Stats | undefined;
  try {
    stats = system.statSync(path, { throwIfNoEntry: false });
  } catch (error) {
    throw unwritable(name, error);
  }
  if (!stats) return { path };
  if (stats.isDirectory()) {
    throw new Trouble({
      file: name,
      what: `${name} is a folder, so no file can be written in its place.`,
      next: "Name a file, for example one in that folder.",
    });
  }
  if (!stats.isFile()) {
    throw new Trouble({
      file: name,
      what: `${name} is a device or a pipe, not a file.`,
      next: "Write to - for standard output.",
    });
  }
  if ((stats.mode & 0o222) === 0) {
    throw new Trouble({
      file: name,
      what: `${name} is read-only, so it was left as it is.`,
      next: "Allow writing to it, or name another file.",
    });
  }
  return { path: system.realpathSync(path), mode: stats.mode & 0o777 };
}

function writeSynced(path: string, text: string, system: WritableSystem): void {
  const bytes = new TextEncoder().encode(text);
  const file = system.openSync(path, "wx", 0o666);
  try {
    for (let written = 0; written < bytes.length; ) {
      written += system.writeSync(file, bytes, written, bytes.length - written);
    }
    system.fsyncSync(file);
  } finally {
    system.closeSync(file);
  }
}

/** Makes the new name last through a power cut, where the system can do that for a folder. */
function syncFolder(path: string, system: WritableSystem): void {
  try {
    const folder = system.openSync(path, "r");
    try {
      system.fsyncSync(folder);
    } finally {
      system.closeSync(folder);
    }
  } catch {
    // Some systems cannot open a folder; the file itself is on the disk.
  }
}

/** Why something cannot be written, in words. */
export function unwritable(name: string, error: unknown): Trouble {
  const [why, next] = REASONS[codeOf(error)] ?? [
    codeOf(error) || String(error),
    "Look at the disk, then try again.",
  ];
  const what = `${name} could not be written: ${why}.`;
  return new Trouble({ file: name, what, next }, { cause: error });
}

const REASONS: Readonly<Record<string, readonly [string, string]>> = {
  ENOSPC: ["the disk is full", "Free some space, or write to another disk."],
  EDQUOT: ["your share of the disk is full", "Free some space, or write to another disk."],
  EFBIG: ["the file would be larger than the system allows", "Write to another disk."],
  EROFS: ["the disk is read-only", "Write to another folder."],
  EACCES: ["you may not write in that folder", "Ask its owner, or write to another folder."],
  EPERM: ["you may not write in that folder", "Ask its owner, or write to another folder."],
  ENOENT: ["its folder does not exist", "Make the folder first, or check the spelling."],
  ENOTDIR: ["a part of its path is a file, not a folder", "Check the spelling."],
  EEXIST: ["another run is writing it at this moment", "Try again."],
  ENAMETOOLONG: ["its name is too long for this system", "Choose a shorter name."],
  EIO: ["the disk reports an error", "Write to another disk, and have this one looked at."],
};
