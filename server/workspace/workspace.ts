import { realpathSync, statSync } from "node:fs";
import { dirname, isAbsolute, join, relative, resolve, sep } from "node:path";
import { readText, unreadable } from "./read-text.ts";
import { codeOf, Trouble } from "./trouble.ts";

/** The name under which text from standard input is known. */
export const STANDARD_INPUT = "standard-input";

/** How many texts are kept for showing lines of them; a check goes on to the next file soon. */
const KEPT = 50;

/**
 * A folder whose `.limb` files know one another. Files are known by their path in it, with / between
 * folders; nothing outside is read, also not through a link.
 */
export class Workspace {
  readonly root: string;
  private readonly realRoot: string;
  private readonly texts = new Map<string, string>();
  private readonly given = new Map<string, string>();
  private readonly troubled = new Map<string, Trouble>();

  /** Throws `Trouble` when there is no such folder. */
  constructor(root: string) {
    this.root = root;
    try {
      this.realRoot = realpathSync(root);
    } catch (error) {
      throw unreadable(root, error);
    }
  }

  /** Files that exist but could not be read, in the order they were asked for. */
  get troubles(): readonly Trouble[] {
    return [...this.troubled.values()];
  }

  /** Gives a file a text that is not on the disk. */
  give(file: string, text: string): void {
    this.given.set(file, text);
  }

  /** The text of a file; undefined when there is none, or when it cannot be read (see `troubles`). */
  readonly textOf = (file: string): string | undefined => {
    const known = this.given.get(file) ?? this.texts.get(file);
    if (known !== undefined) return known;
    if (this.troubled.has(file)) return undefined;
    try {
      const text = this.read(file);
      const [oldest] = this.texts.keys();
      if (this.texts.size >= KEPT && oldest !== undefined) this.texts.delete(oldest);
      this.texts.set(file, text);
      return text;
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      if (codeOf(error.cause) !== "ENOENT") this.troubled.set(file, error);
      return undefined;
    }
  };

  /** The path in the workspace of a path on the disk. */
  nameOf(path: string): string {
    return relative(this.root, path).split(sep).join("/");
  }

  pathOf(file: string): string {
    return join(this.root, ...file.split("/"));
  }

  /** Where a path really leads; a `Trouble` when that is outside the workspace, or nowhere. */
  realPathOf(path: string): string {
    const name = this.nameOf(path);
    try {
      const real = realpathSync(path);
      if (isInside(this.realRoot, real)) return real;
    } catch (error) {
      throw unreadable(name, error);
    }
    throw new Trouble({
      file: name,
      what: `${name} is a link that leads out of the workspace ${this.root}, so it is not read.`,
      next: "Put the file itself into the workspace, or name a wider one with --workspace.",
    });
  }

  private read(file: string): string {
    return readText(this.realPathOf(this.pathOf(file)), file);
  }
}

/** Whether a path is a folder itself, or lies in it. */
function isInside(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way === "" || (way !== ".." && !way.startsWith(`..${sep}`) && !isAbsolute(way));
}

/**
 * The root of the workspace for what was named: the folder that was asked for; else the current folder when
 * everything lies in it; else the nearest folder that holds everything. Throws `Trouble`.
 */
export function workspaceRoot(asked: string | undefined, current: string, named: readonly string[]): string {
  if (asked !== undefined) return checkRoot(resolve(current, asked), asked, named);
  if (named.every((path) => isInside(current, path))) return current;
  const [first = current, ...rest] = named.map((path) => (isFolder(path) ? path : dirname(path)));
  return rest.reduce(nearestCommon, first);
}

function checkRoot(root: string, asked: string, named: readonly string[]): string {
  if (!isFolder(root)) {
    throw new Trouble({
      file: asked,
      what: `The workspace ${asked} is not a folder.`,
      next: "Name the folder that holds your .limb files.",
    });
  }
  const outside = named.find((path) => !isInside(root, path));
  if (outside === undefined) return root;
  throw new Trouble({
    file: outside,
    what: `${outside} does not lie in the workspace ${asked}.`,
    next: "Name a file in it, or a wider workspace.",
  });
}

function nearestCommon(one: string, other: string): string {
  return isInside(one, other) ? one : nearestCommon(dirname(one), other);
}

/** Whether there is a folder; not where a path cannot be followed to its end. */
export function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}
