import { resolve } from "node:path";
import { type FoundFiles, findFiles } from "./find-files.ts";
import { keepTrouble, NothingThere, type Trouble } from "./trouble.ts";
import { isFolder, STANDARD_INPUT, Workspace, workspaceRoot } from "./workspace.ts";

/** What a command was given to work on. */
export interface OpenedFiles {
  readonly workspace: Workspace;
  /** Paths in the workspace, each once: in the order they were named, those of a folder by name. */
  readonly files: readonly string[];
  /** The folders among what was named, as it was written. */
  readonly folders: readonly string[];
  /** Whether the folder that was named is the whole workspace. */
  readonly isWhole: boolean;
  /** What was named and could not be opened. */
  readonly troubles: readonly Trouble[];
}

export interface Named {
  /** Files and folders, as written on the command line; `-` is standard input. */
  readonly names: readonly string[];
  readonly workspace: string | undefined;
  readonly currentFolder: string;
}

/** Finds the files that were named, and the workspace they lie in. Throws `Trouble` when there is no such workspace. */
export function openFiles({ names, workspace: asked, currentFolder }: Named): OpenedFiles {
  const paths = names.map((name) => ({ name, path: name === "-" ? "-" : resolve(currentFolder, name) }));
  const onDisk = paths.flatMap(({ path }) => (path === "-" ? [] : [path]));
  const workspace = new Workspace(workspaceRoot(asked, currentFolder, onDisk));
  const files = new Set<string>();
  const troubles: Trouble[] = [];
  for (const { name, path } of paths) {
    keepTrouble(troubles, () => {
      const found = filesOf(workspace, name, path);
      for (const file of found.files) files.add(file);
      troubles.push(...found.troubles);
    });
  }
  const folders = paths.filter(({ path }) => path !== "-" && isFolder(path));
  const isWhole = folders.some(({ path }) => workspace.nameOf(path) === "");
  return { workspace, files: [...files], folders: folders.map(({ name }) => name), isWhole, troubles };
}

/** Throws `Trouble` where nothing is found. */
function filesOf(workspace: Workspace, name: string, path: string): FoundFiles {
  if (path === "-") return { files: [STANDARD_INPUT], troubles: [] };
  if (!isFolder(path)) {
    workspace.realPathOf(path);
    return { files: [workspace.nameOf(path)], troubles: [] };
  }
  const found = findFiles(workspace, path);
  if (found.files.length > 0 || found.troubles.length > 0) return found;
  throw new NothingThere({
    file: name,
    what: `The folder ${name} holds no .limb file, so there is nothing to do.`,
    next: "Name a folder that holds protocols, or start one with `limb new NAME`.",
  });
}
