import { createHash } from "node:crypto";
import { posix } from "node:path";
import { MOST_RULE_FILE_BYTES } from "@limbwright/shared/rule-file";
import { SUFFIX } from "./find-files.ts";
import { git, isRefusal, refusalWords } from "./git.ts";
import { decodeText, MOST_BYTES, tooLong } from "./read-text.ts";
import type { FoundContent } from "./rule-files.ts";
import { codeOf, NothingThere, Trouble } from "./trouble.ts";

/** A path in a revision, as Git writes both: `HEAD:protocols/wrist.limb`; an empty path is the whole tree. */
export interface RevisionPath {
  readonly revision: string;
  readonly path: string;
}

/** What `REV:path` names; undefined where it is none. A colon between braces belongs to the revision. */
export function revisionPathOf(named: string): RevisionPath | undefined {
  const [, revision, path] = /^((?:[^:{]|\{[^}]*\}|\{)+):(.*)$/s.exec(named) ?? [];
  return revision === undefined || path === undefined ? undefined : { revision, path };
}

/** The whole of a revision, by the paths in the repository. Throws `Trouble`: no Git, no repository around the folder, no such revision. */
export function revisionTree(folder: string, revision: string): GitTree {
  const prefix = prefixOf(folder);
  const listed = git(folder, ["ls-tree", "-r", "-l", "-z", "--full-tree", treeOf(folder, revision)]);
  return new GitTree({ folder, prefix, entries: entriesOf(listed), place: `${revision}:` });
}

/** Where a tree lies, and what it holds. */
export interface GitTreeListed {
  readonly folder: string;
  /** The way from the top of the tree to the folder, with / at its end; empty where the tree starts there. */
  readonly prefix: string;
  readonly entries: ReadonlyMap<string, TreeEntry>;
  /** What is written before a path to name a file of it: "HEAD:". */
  readonly place: string;
}

/**
 * The files of a revision of a Git repository, by their paths in it. Everything is read from the objects of that revision, by
 * the `git` program; nothing from the work tree, and nothing from outside the repository. Links in it are not followed.
 */
export class GitTree {
  private readonly listed: GitTreeListed;
  private readonly texts = new Map<string, string>();
  private readonly troubled = new Map<string, Trouble>();

  constructor(listed: GitTreeListed) {
    this.listed = listed;
  }

  /** Files that are there but could not be read, in the order they were asked for. */
  get troubles(): readonly Trouble[] {
    return [...this.troubled.values()];
  }

  /**
   * The file of a path, or every `.limb` file below it as in a folder on the disk: folders whose name starts with a dot and
   * `node_modules` are left out. A path that starts with ./ or ../ counts from the current folder. Throws `Trouble`.
   */
  filesAt(written: string): readonly string[] {
    const path = this.pathOf(written);
    if (this.isFile(path)) return this.readAll([path]);
    const searched = this.searchBelow(path, written);
    const foreign = searched.filter((one) => this.listed.entries.get(one)?.kind === "repository");
    for (const one of foreign) this.troubled.set(one, this.notRead(one));
    const files = searched.filter((one) => one.endsWith(SUFFIX) && !foreign.includes(one)).sort();
    if (files.length > 0) return this.readAll(files);
    throw new NothingThere({
      file: this.nameOf(written),
      what: `${this.nameOf(written)} holds no .limb file, so there is nothing to compare.`,
      next: "Name a revision and a folder that hold protocols.",
    });
  }

  /**
   * The contents of the files below a path whose names end so, a few at a time; of the path itself where it is a file. What a link
   * leads to, and what is longer than any rule file, is not read, and says so when it is asked for. Throws `Trouble`.
   */
  *contentsAt(written: string, suffix: string): Generator<FoundContent> {
    const path = this.pathOf(written);
    const named = this.isFile(path)
      ? [path]
      : this.searchBelow(path, written).filter((one) => one.endsWith(suffix));
    const entries = named.flatMap((file) => {
      const entry = this.listed.entries.get(file);
      return entry ? [{ file, ...entry }] : [];
    });
    const isRead = ({ kind, size }: TreeEntry) => kind === "file" && size <= MOST_RULE_FILE_BYTES;
    for (const { file, kind, size } of entries.filter((entry) => !isRead(entry))) {
      const read = () => {
        throw kind === "file" ? tooLong(this.nameOf(file), size, MOST_RULE_FILE_BYTES) : this.notRead(file);
      };
      yield { name: this.nameOf(file), read };
    }
    const files = entries.filter(isRead);
    for (const some of inPortions(files)) {
      const contents = this.contentsOf(some);
      for (const [at, { file }] of some.entries()) {
        const bytes = contents[at];
        yield { name: this.nameOf(file), read: () => bytes ?? this.notFetched(file) };
      }
    }
  }

  /** Throws `Trouble` where the path is a link or another repository. */
  private isFile(path: string): boolean {
    const kind = this.listed.entries.get(path)?.kind;
    if (kind !== undefined && kind !== "file") throw this.notRead(path);
    return kind === "file";
  }

  private searchBelow(path: string, written: string): readonly string[] {
    const below = path === "" ? "" : `${path}/`;
    const inside = [...this.listed.entries.keys()].filter((one) => one.startsWith(below));
    if (inside.length === 0 && path !== "") throw this.missingTrouble(written);
    return inside.filter((one) => isSearched(one.slice(below.length)));
  }

  /** The text of a file; undefined when there is none, or when it cannot be read (see `troubles`). */
  readonly textOf = (file: string): string | undefined => {
    if (this.listed.entries.has(file)) this.readAll([file]);
    return this.texts.get(file);
  };

  /** Whether there is a file, which a link is not, whether or not it can be read. */
  readonly holds = (file: string): boolean => this.listed.entries.get(file)?.kind === "file";

  /**
   * Whether a file says just this, told without reading it: by the name that Git gives its content, whatever ends its lines. For
   * `undefined`, whether there is no such file.
   */
  readonly hasText = (file: string, text: string | undefined): boolean => {
    const entry = this.listed.entries.get(file);
    if (entry?.kind !== "file") return text === undefined;
    return text !== undefined && spellings(text).some((one) => objectId(one, entry.id.length) === entry.id);
  };

  /** Why a file that is there could not be read. */
  readonly whyUnread = (file: string): string | undefined => {
    return this.troubled.get(file)?.what.replace(/\.$/, "");
  };

  private pathOf(written: string): string {
    const isFromHere = /^\.\.?(\/|$)/.test(written);
    const path = posix
      .normalize(isFromHere ? `${this.listed.prefix}${written}` : written)
      .replace(/\/+$/, "");
    if (path === ".." || path.startsWith("../") || path.startsWith("/")) throw this.missingTrouble(written);
    return path === "." ? "" : path;
  }

  /** Reads files that were not read yet, all at once. */
  private readAll(files: readonly string[]): readonly string[] {
    const wanted = files.flatMap((file) => {
      const entry = this.listed.entries.get(file);
      if (!entry || this.texts.has(file) || this.troubled.has(file)) return [];
      if (entry.kind === "file" && entry.size <= MOST_BYTES) return [{ file, ...entry }];
      this.keepTrouble(file, () => {
        if (entry.kind !== "file") throw this.notRead(file);
        throw tooLong(this.nameOf(file), entry.size);
      });
      return [];
    });
    const contents = this.contentsOf(wanted);
    wanted.forEach(({ file }, index) => {
      this.keepTrouble(file, () => {
        this.texts.set(file, decodeText(contents[index] ?? this.notFetched(file), this.nameOf(file)));
      });
    });
    return files;
  }

  private contentsOf(entries: readonly TreeEntry[]): (Uint8Array | undefined)[] {
    return contentsOf(
      this.listed.folder,
      entries.map(({ id }) => id),
    );
  }

  private notFetched(file: string): never {
    throw new Trouble({
      file: this.nameOf(file),
      what: `The content of ${this.nameOf(file)} is not in this copy of the repository.`,
      next: "Fetch it with Git first, then try again.",
    });
  }

  private keepTrouble(file: string, read: () => void): void {
    try {
      read();
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      this.troubled.set(file, error);
    }
  }

  private nameOf(file: string): string {
    return `${this.listed.place}${file}`;
  }

  private missingTrouble(written: string): Trouble {
    return new Trouble({
      file: this.nameOf(written),
      what: `The revision ${this.listed.place.replace(/:$/, "")} has no file and no folder ${written}.`,
      next: "Name a path as it was in that revision, from the top of the repository, or from the current folder with ./ before it.",
    });
  }

  private notRead(file: string): Trouble {
    const what = this.listed.entries.get(file)?.kind === "link" ? "a link" : "a repository of its own";
    return new Trouble({
      file: this.nameOf(file),
      what: `${this.nameOf(file)} is ${what}, and what it leads to is not read from a revision.`,
      next: "Name the file or the folder itself.",
    });
  }
}

export interface TreeEntry {
  readonly id: string;
  readonly kind: "file" | "link" | "repository";
  /** In bytes; 0 where it was not asked. */
  readonly size: number;
}

/** Every way in which a file with this text may be stored: with a byte order mark or without, with either end of lines. */
function spellings(text: string): string[] {
  const unix = text.replaceAll("\r\n", "\n");
  const windows = unix.replaceAll("\n", "\r\n");
  return [...new Set([text, unix, windows])].flatMap((one) => [one, `\ufeff${one}`]);
}

/** The name that Git gives to a content, in the short or the long form of ids. */
function objectId(content: string, length: number): string {
  const bytes = Buffer.from(content);
  return createHash(length === 64 ? "sha256" : "sha1")
    .update(`blob ${bytes.length}\0`)
    .update(bytes)
    .digest("hex");
}

/** How many bytes are read from Git at once, unless a single file has more. */
const PORTION = 20_000_000;

function* inPortions<T extends { readonly size: number }>(files: readonly T[]): Generator<readonly T[]> {
  let portion: T[] = [];
  let size = 0;
  for (const file of files) {
    if (portion.length > 0 && size + file.size > PORTION) {
      yield portion;
      [portion, size] = [[], 0];
    }
    portion.push(file);
    size += file.size;
  }
  if (portion.length > 0) yield portion;
}

function isSearched(path: string): boolean {
  return !path.split("/").some((part) => part.startsWith(".") || part === "node_modules");
}

function prefixOf(folder: string): string {
  try {
    return git(folder, ["rev-parse", "--show-prefix"])
      .toString("utf8")
      .replace(/\r?\n$/, "");
  } catch (error) {
    throw withoutRepository(folder, error);
  }
}

function treeOf(folder: string, revision: string): string {
  const unknown = (cause?: unknown) =>
    new Trouble(
      {
        file: revision,
        what: `There is no revision ${revision} in the Git repository of ${folder}.`,
        next: "Name a commit, a branch or a tag that `git log` knows; one of another computer has to be fetched first.",
      },
      { cause },
    );
  // What begins with a hyphen would be an option of Git.
  if (revision.startsWith("-") || revision.includes("\0")) throw unknown();
  try {
    return git(folder, ["rev-parse", "--verify", "--quiet", `${revision}^{tree}`])
      .toString("utf8")
      .trim();
  } catch (error) {
    throw unknown(error);
  }
}

const MODES: Readonly<Record<string, TreeEntry["kind"]>> = {
  "120000": "link",
  "160000": "repository",
};

/** What `git ls-tree -r -z` lists, with `-l` or without. */
export function entriesOf(listed: Buffer | string): Map<string, TreeEntry> {
  const entries = new Map<string, TreeEntry>();
  for (const line of listed.toString("utf8").split("\0")) {
    const [, mode = "", id = "", size = "", path = ""] =
      /^(\d+) \w+ ([0-9a-f]+)(?: +(\d+|-))?\t(.+)$/s.exec(line) ?? [];
    if (path !== "") entries.set(path, { id, kind: MODES[mode] ?? "file", size: Number(size) || 0 });
  }
  return entries;
}

/** The contents of objects, in the order of their ids; undefined for one that is not in this copy of the repository. */
function contentsOf(folder: string, ids: readonly string[]): (Uint8Array | undefined)[] {
  if (ids.length === 0) return [];
  try {
    return contentsIn(git(folder, ["cat-file", "--batch"], `${ids.join("\n")}\n`), ids);
  } catch (error) {
    if (!isRefusal(error)) throw error;
    // An older Git ends at the first that it would have to fetch.
    return ids.length === 1 ? [undefined] : ids.flatMap((id) => contentsOf(folder, [id]));
  }
}

function contentsIn(all: Buffer, ids: readonly string[]): (Uint8Array | undefined)[] {
  let at = 0;
  return ids.map(() => {
    const end = all.indexOf("\n", at);
    const [, , size] = all.toString("utf8", at, end).split(" ");
    at = end + 1;
    if (size === undefined) return undefined;
    const bytes = all.subarray(at, at + Number(size));
    at += Number(size) + 1;
    return bytes;
  });
}

function withoutRepository(folder: string, error: unknown): Trouble {
  if (codeOf(error) === "ENOENT") {
    return new Trouble({
      file: folder,
      what: "A revision can only be read with Git, and there is no program git.",
      next: "Install Git, or name files and folders instead.",
    });
  }
  const stderr = refusalWords(error);
  const isNone = stderr.includes("not a git repository");
  return new Trouble({
    file: folder,
    what: isNone
      ? `${folder} is in no Git repository, so it has no revisions.`
      : `Git cannot read the repository of ${folder}: ${stderr.split("\n")[0]}`,
    next: isNone
      ? "Go to a folder of the repository, or name files and folders."
      : "Ask Git itself, with `git status`.",
  });
}
