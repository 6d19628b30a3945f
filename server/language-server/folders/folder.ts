import { Site } from "@limbwright/language";
import type { TextDocument } from "vscode-languageserver-textdocument";
import { URI, Utils } from "vscode-uri";
import { Trouble } from "../../workspace/trouble.ts";
import type { FolderFiles, Platform } from "../platform.ts";

/**
 * A folder whose files know one another, with what is open in the editor laid over what is on the disk. Files are known
 * by their path in it.
 */
export class Folder {
  readonly uri: string;
  /** Whether it is a folder of the workspace: then all its files are checked, not only those that are open. */
  readonly isWhole: boolean;
  readonly site: Site;
  /** Every file of a whole folder that is on the disk. */
  readonly listed = new Set<string>();
  readonly files: FolderFiles | undefined;
  readonly #open = new Map<string, TextDocument>();
  readonly #texts = new Map<string, string | Trouble | undefined>();

  constructor(uri: string, isWhole: boolean, files: FolderFiles | undefined) {
    this.uri = uri;
    this.isWhole = isWhole;
    this.files = files;
    this.site = new Site((file) => this.textOf(file));
  }

  /** The path in the folder of what a URI names; undefined when it lies elsewhere. */
  fileOf(uri: string): string | undefined {
    const folder = URI.parse(this.uri);
    const { scheme, authority, path } = URI.parse(uri);
    const root = folder.path.endsWith("/") ? folder.path : `${folder.path}/`;
    const isInside = scheme === folder.scheme && authority === folder.authority && path.startsWith(root);
    return isInside ? path.slice(root.length) : undefined;
  }

  /** The URI of a file, as the editor wrote it where it is open. */
  uriOf(file: string): string {
    return this.#open.get(file)?.uri ?? Utils.joinPath(URI.parse(this.uri), file).toString();
  }

  /** The files that are open in the editor. */
  get openFiles(): readonly string[] {
    return [...this.#open.keys()];
  }

  openDocument(file: string): TextDocument | undefined {
    return this.#open.get(file);
  }

  /** The text of a file as it stands now: what the editor shows, else what is on the disk. */
  textOf(file: string): string | undefined {
    const open = this.#open.get(file);
    if (open) return open.getText();
    const text = this.#onDisk(file);
    return text instanceof Trouble ? undefined : text;
  }

  /** Why a file cannot be read; undefined where it can, or where there is none. */
  troubleOf(file: string): Trouble | undefined {
    const text = this.#open.has(file) ? undefined : this.#onDisk(file);
    return text instanceof Trouble ? text : undefined;
  }

  /** Takes a document of the editor in place of the file, or the file again (undefined). */
  show(file: string, document: TextDocument | undefined): void {
    if (document) this.#open.set(file, document);
    else this.#open.delete(file);
    this.#texts.delete(file);
    this.site.noteChange(file);
  }

  /** Reads a file again that was changed, created or deleted outside the editor. Whether its text is another now. */
  reread(file: string): boolean {
    const before = this.#texts.get(file);
    const wasKnown = this.#texts.has(file);
    this.#texts.delete(file);
    const now = this.#onDisk(file);
    if (now === undefined) this.listed.delete(file);
    else if (this.isWhole) this.listed.add(file);
    const isSame = wasKnown && (before === now || (before instanceof Trouble && now instanceof Trouble));
    if (isSame || this.#open.has(file)) return false;
    this.site.noteChange(file);
    return true;
  }

  #onDisk(file: string): string | Trouble | undefined {
    if (this.#texts.has(file)) return this.#texts.get(file);
    const text = this.files?.read(file);
    this.#texts.set(file, text);
    return text;
  }
}

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
