import { type Dirent, readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { unreadable } from "./read-text.ts";
import { Trouble } from "./trouble.ts";
import type { Workspace } from "./workspace.ts";

export const SUFFIX = ".limb";

/** Every file that was found, by its path in the workspace, and what could not be searched. */
export interface FoundFiles {
  readonly files: readonly string[];
  readonly troubles: readonly Trouble[];
}

/**
 * Every `.limb` file below a folder, or every one whose name ends otherwise, in the order of their paths. Folders whose name starts with a dot and
 * `node_modules` are left out. A link is followed while it stays in the workspace; each file and folder
 * counts once, however many links lead to it.
 */
export function findFiles(workspace: Workspace, folder: string, suffix = SUFFIX): FoundFiles {
  const search: Search = { workspace, suffix, seen: new Set(), files: [], troubles: [] };
  searchFolder(search, folder);
  return { files: search.files.map((path) => workspace.nameOf(path)).sort(), troubles: search.troubles };
}

interface Search {
  readonly workspace: Workspace;
  readonly suffix: string;
  readonly seen: Set<string>;
  readonly files: string[];
  readonly troubles: Trouble[];
}

function searchFolder(search: Search, folder: string): void {
  attempt(search, folder, () => {
    if (!isNew(search, folder)) return;
    const entries = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1));
    for (const entry of entries) searchEntry(search, folder, entry);
  });
}

function searchEntry(search: Search, folder: string, entry: Dirent): void {
  const path = join(folder, entry.name);
  if (entry.name.startsWith(".") || entry.name === "node_modules") return;
  if (entry.isDirectory()) {
    searchFolder(search, path);
  } else if (entry.isSymbolicLink()) {
    attempt(search, path, () => followLink(search, path));
  } else if (entry.name.endsWith(search.suffix)) {
    attempt(search, path, () => addFile(search, path));
  }
}

function followLink(search: Search, path: string): void {
  const leadsTo = statSync(path, { throwIfNoEntry: false });
  if (leadsTo?.isDirectory()) {
    searchFolder(search, path);
  } else if (path.endsWith(search.suffix)) {
    if (!leadsTo) throw leadsNowhere(search.workspace.nameOf(path));
    addFile(search, path);
  }
}

function leadsNowhere(name: string): Trouble {
  return new Trouble({
    file: name,
    what: `${name} is a link that leads nowhere.`,
    next: "Remove the link, or put the file back that it leads to.",
  });
}

function addFile(search: Search, path: string): void {
  if (isNew(search, path)) search.files.push(path);
}

/** Whether what a path really leads to has not been met before. Throws `Trouble` outside the workspace. */
function isNew({ workspace, seen }: Search, path: string): boolean {
  const real = workspace.realPathOf(path);
  return !seen.has(real) && Boolean(seen.add(real));
}

/** What goes wrong at one path does not end the search. */
function attempt({ workspace, troubles }: Search, path: string, search: () => void): void {
  try {
    search();
  } catch (error) {
    troubles.push(error instanceof Trouble ? error : unreadable(workspace.nameOf(path), error));
  }
}
