import { watch } from "node:fs";
import { fileURLToPath } from "node:url";
import { findFiles, SUFFIX } from "../../workspace/find-files.ts";
import { readText, unreadable } from "../../workspace/read-text.ts";
import { codeOf, Trouble } from "../../workspace/trouble.ts";
import { Workspace } from "../../workspace/workspace.ts";
import type { FolderFiles } from "../platform.ts";

/** The files of a folder on the disk. Undefined when there is no such folder. */
export function folderOnDisk(uri: string): FolderFiles | undefined {
  const workspace = workspaceAt(uri);
  if (!workspace) return undefined;
  return {
    list: async () => findFiles(workspace, workspace.root).files,
    read: (file) => readOrTrouble(workspace, file),
    refresh: async () => {},
    watch: (changed) => watchFolder(workspace.root, changed),
  };
}

function workspaceAt(uri: string): Workspace | undefined {
  try {
    return new Workspace(fileURLToPath(uri));
  } catch {
    return undefined;
  }
}

function readOrTrouble(workspace: Workspace, file: string): string | Trouble | undefined {
  try {
    return readText(workspace.realPathOf(workspace.pathOf(file)), file);
  } catch (error) {
    const trouble = error instanceof Trouble ? error : unreadable(file, error);
    return ["ENOENT", "ENOTDIR"].includes(codeOf(trouble.cause)) ? undefined : trouble;
  }
}

/** A folder that cannot be watched is read when it is opened, and when the editor tells of a change. */
function watchFolder(root: string, changed: (file: string) => void): () => void {
  try {
    const watcher = watch(root, { recursive: true, persistent: false }, (_, name) => {
      const file = name?.replaceAll("\\", "/");
      if (file?.endsWith(SUFFIX)) changed(file);
    });
    watcher.on("error", () => watcher.close());
    return () => watcher.close();
  } catch {
    return () => {};
  }
}
