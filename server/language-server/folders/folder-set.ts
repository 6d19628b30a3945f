import { URI, Utils } from "vscode-uri";
import type { Platform } from "../platform.ts";
import { Folder } from "./folder.ts";

/** A file of a folder. */
export interface FileInFolder {
  readonly folder: Folder;
  readonly file: string;
}

/**
 * The folders of the workspace. A file belongs to the innermost that holds it; one that lies in none, to a folder made
 * for it: its own, so that what stands beside it can be used.
 */
export class FolderSet {
  readonly #platform: Platform;
  readonly #folders = new Map<string, Folder>();

  constructor(platform: Platform) {
    this.#platform = platform;
  }

  get all(): readonly Folder[] {
    return [...this.#folders.values()];
  }

  add(uri: string): Folder {
    const key = withoutSlash(uri);
    const folder = new Folder(key, true, this.#platform.openFolder(key));
    this.#folders.set(key, folder);
    return folder;
  }

  remove(uri: string): Folder | undefined {
    const key = withoutSlash(uri);
    const folder = this.#folders.get(key);
    this.#folders.delete(key);
    return folder;
  }

  /** The file a URI names, in the folder it belongs to; undefined where it lies in none that is known. */
  find(uri: string): FileInFolder | undefined {
    const inside = this.all.flatMap((folder) => {
      const file = folder.fileOf(uri);
      return file === undefined ? [] : [{ folder, file }];
    });
    return inside.sort((a, b) => b.folder.uri.length - a.folder.uri.length)[0];
  }

  /** The same, in a folder that is made where there is none. */
  findOrMake(uri: string): FileInFolder {
    const found = this.find(uri);
    if (found) return found;
    const parsed = URI.parse(uri);
    const around = Utils.dirname(parsed).toString();
    const key = withoutSlash(around);
    const folder = new Folder(
      key,
      false,
      parsed.scheme === "file" ? this.#platform.openFolder(key) : undefined,
    );
    this.#folders.set(key, folder);
    return { folder, file: folder.fileOf(uri) ?? Utils.basename(parsed) };
  }

  /** Lets go of a folder that was made for files none of which is open any more. */
  release(folder: Folder): boolean {
    const isDone = !folder.isWhole && folder.openFiles.length === 0;
    if (isDone) this.#folders.delete(folder.uri);
    return isDone;
  }
}

function withoutSlash(uri: string): string {
  return uri.length > "file:///".length ? uri.replace(/\/+$/, "") : uri;
}
