import { existsSync, readFileSync, statSync } from "node:fs";
import { isAbsolute, resolve, sep } from "node:path";
import { type ComparedSite, type CompiledVersion, type ReadText, Site } from "@limbwright/language";
import { MOST_RULE_FILE_BYTES, RULE_FILE_SUFFIX } from "@limbwright/shared/rule-file";
import { findFiles } from "./find-files.ts";
import { type GitTree, revisionPathOf, revisionTree } from "./git-tree.ts";
import { once } from "./once.ts";
import { openFiles } from "./open-files.ts";
import { decodeText, readText, tooLong, unreadable } from "./read-text.ts";
import {
  type CompiledInFolder,
  type FoundContent,
  readCompiled,
  readCompiledInFolder,
} from "./rule-files.ts";
import { NothingThere, Trouble } from "./trouble.ts";
import { isFolder, type Workspace } from "./workspace.ts";

/** One of the versions that a command compares. */
export interface OpenedVersion {
  readonly site: ComparedSite;
  readonly textOf: ReadText;
  /** What could not be read so far. */
  readonly troubles: () => readonly Trouble[];
}

/**
 * Opens a version: a file, a rule file, a folder, or `REV:path` in a Git repository. What is on the disk wins over a revision, so a
 * file with a colon in its name is a file. What the files of a revision use is read from that revision. Throws `Trouble` where
 * there is nothing to compare.
 */
export function openVersion(named: string, place: VersionPlace): OpenedVersion {
  const revisionPath = isOnDisk(named, place) ? undefined : revisionPathOf(named);
  if (revisionPath) return inRevision(named, revisionPath.revision, revisionPath.path, place);
  const path = resolve(place.currentFolder, named);
  return named.endsWith(RULE_FILE_SUFFIX) && !isFolder(path)
    ? asRuleFile(readCompiled(named, readText(path, named, MOST_RULE_FILE_BYTES)), named)
    : onDisk(named, place);
}

/** A version that is kept as one rule file, which needs no other file. */
export function asRuleFile(version: CompiledVersion, named: string): OpenedVersion {
  return {
    site: { site: new Site(() => undefined), files: [], compiled: [version], name: `\`${named}\`` },
    textOf: () => undefined,
    troubles: () => [],
  };
}

export interface VersionPlace {
  readonly workspace: string | undefined;
  readonly currentFolder: string;
}

/** As the system follows the path: `HEAD:../wrist.limb` leads through no folder `HEAD:..`. */
function isOnDisk(named: string, { currentFolder }: VersionPlace): boolean {
  return existsSync(isAbsolute(named) ? named : `${currentFolder}${sep}${named}`);
}

function onDisk(named: string, { workspace: asked, currentFolder }: VersionPlace): OpenedVersion {
  const opened = openFiles({ names: [named], workspace: asked, currentFolder });
  const { workspace, files, folders, troubles } = opened;
  const site = new Site(workspace.textOf);
  const read = readable(files, workspace.textOf);
  const searched = folders.length > 0 ? contentsOnDisk(workspace, resolve(currentFolder, named)) : NOTHING;
  const kept = readCompiledInFolder(searched.contents, namesIn(site, read));
  const [first] = troubles;
  if (first && files.length === 0 && kept.versions.length === 0) throw kept.troubles[0] ?? first;
  const name = folders.length > 0 ? `the folder \`${named}\`` : `\`${named}\``;
  return {
    site: { site, files: read, ...compiledOf(kept), name },
    textOf: workspace.textOf,
    troubles: () => [
      ...troubles.filter((one) => !(one instanceof NothingThere)),
      ...searched.troubles.filter((one) => !troubles.some(({ message }) => message === one.message)),
      ...kept.troubles,
      ...workspace.troubles,
    ],
  };
}

interface SearchedFolder {
  readonly contents: readonly FoundContent[];
  readonly troubles: readonly Trouble[];
}

const NOTHING: SearchedFolder = { contents: [], troubles: [] };

function contentsOnDisk(workspace: Workspace, folder: string): SearchedFolder {
  const { files, troubles } = findFiles(workspace, folder, RULE_FILE_SUFFIX);
  const read = (name: string) => () => bytesOf(workspace.pathOf(name), name);
  return { contents: files.map((name) => ({ name, read: read(name) })), troubles };
}

/** Throws `Trouble` where it cannot be read, or is longer than any rule file. */
function bytesOf(path: string, name: string): Uint8Array {
  try {
    const { size } = statSync(path);
    if (size > MOST_RULE_FILE_BYTES) throw tooLong(name, size, MOST_RULE_FILE_BYTES);
    return readFileSync(path);
  } catch (error) {
    throw error instanceof Trouble ? error : unreadable(name, error);
  }
}

/** The protocols that files declare, told when they are first asked for. */
function namesIn(site: Site, files: readonly string[]): () => ReadonlySet<string> {
  return once(() => {
    const protocols = files.flatMap((file) => site.file(file)?.protocols ?? []);
    return new Set(protocols.map(({ name }) => name));
  });
}

function compiledOf({ versions }: CompiledInFolder): Pick<ComparedSite, "compiled"> {
  return versions.length > 0 ? { compiled: versions } : {};
}

function inRevision(
  named: string,
  revision: string,
  path: string,
  { currentFolder }: VersionPlace,
): OpenedVersion {
  const tree = openTree(named, revision, currentFolder);
  if (path.endsWith(RULE_FILE_SUFFIX)) {
    const [only] = tree.contentsAt(path, RULE_FILE_SUFFIX);
    if (only?.name.endsWith(RULE_FILE_SUFFIX)) {
      return asRuleFile(readCompiled(named, decodeText(only.read(), named, MOST_RULE_FILE_BYTES)), named);
    }
  }
  const { files, nothing } = limbFilesAt(tree, path);
  const site = new Site(tree.textOf);
  const read = readable(files, tree.textOf);
  const kept = readCompiledInFolder(tree.contentsAt(path, RULE_FILE_SUFFIX), namesIn(site, read));
  if (nothing && kept.versions.length === 0) throw kept.troubles[0] ?? nothing;
  const name = path === "" ? `\`${revision}\`` : `\`${named}\``;
  return {
    site: { site, files: read, ...compiledOf(kept), name },
    textOf: tree.textOf,
    troubles: () => [...kept.troubles, ...tree.troubles],
  };
}

/** A folder may hold rule files alone. */
function limbFilesAt(tree: GitTree, path: string) {
  try {
    return { files: tree.filesAt(path) };
  } catch (error) {
    if (!(error instanceof NothingThere)) throw error;
    return { files: [], nothing: error };
  }
}

/** A revision that cannot be read may also be a file that was misspelt. */
function openTree(named: string, revision: string, folder: string): GitTree {
  try {
    return revisionTree(folder, revision);
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    const what = `${named} is no file and no folder. ${error.what}`;
    throw new Trouble({ file: named, what, next: error.next }, { cause: error });
  }
}

/** What cannot be read is told as a trouble, in words that say why. */
function readable(files: readonly string[], textOf: (file: string) => string | undefined): string[] {
  return files.filter((file) => textOf(file) !== undefined);
}
