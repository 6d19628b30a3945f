import { existsSync } from "node:fs";
import { isAbsolute, sep } from "node:path";
import { type ComparedSite, type ReadText, Site } from "@limbwright/language";
import { type GitTree, revisionPathOf, revisionTree } from "./git-tree.ts";
import { openFiles } from "./open-files.ts";
import { Trouble } from "./trouble.ts";

/** One of the versions that a command compares. */
export interface OpenedVersion {
  readonly site: ComparedSite;
  readonly textOf: ReadText;
  /** What could not be read so far. */
  readonly troubles: () => readonly Trouble[];
}

/**
 * Opens a version: a file, a folder, or `REV:path` in a Git repository. What is on the disk wins over a revision, so a file with
 * a colon in its name is a file. What the files of a revision use is read from that revision. Throws `Trouble` where there is
 * nothing to compare.
 */
export function openVersion(named: string, place: VersionPlace): OpenedVersion {
  const revisionPath = isOnDisk(named, place) ? undefined : revisionPathOf(named);
  return revisionPath === undefined
    ? onDisk(named, place)
    : inRevision(named, revisionPath.revision, revisionPath.path, place);
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
  const { workspace, files, folders, troubles } = openFiles({
    names: [named],
    workspace: asked,
    currentFolder,
  });
  const [first] = troubles;
  if (first && files.length === 0) throw first;
  const name = folders.length > 0 ? `the folder \`${named}\`` : `\`${named}\``;
  return {
    site: { site: new Site(workspace.textOf), files: readable(files, workspace.textOf), name },
    textOf: workspace.textOf,
    troubles: () => [...troubles, ...workspace.troubles],
  };
}

function inRevision(
  named: string,
  revision: string,
  path: string,
  { currentFolder }: VersionPlace,
): OpenedVersion {
  const tree = openTree(named, revision, currentFolder);
  const files = tree.filesAt(path);
  const name = path === "" ? `\`${revision}\`` : `\`${named}\``;
  return {
    site: { site: new Site(tree.textOf), files: readable(files, tree.textOf), name },
    textOf: tree.textOf,
    troubles: () => tree.troubles,
  };
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
