import { findUsedFiles, type UsedFile } from "@limbwright/language/editor";
import type { TextEdit, WorkspaceEdit } from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import { filesOf } from "../names/names-in-folder.ts";
import { relativePath } from "../names/relative-path.ts";
import { rangeOf } from "../places.ts";
import type { Feature } from "../service.ts";

const FILTERS = [{ pattern: { glob: "**/*.limb" } }];

/** When a file gets another name or place, every `use` of it follows, and its own lead where they led. */
export const fileRenames: Feature = {
  offers: () => ({ workspace: { fileOperations: { willRename: { filters: FILTERS } } } }),
  register: ({ connection, folders }) => {
    connection.workspace.onWillRenameFiles(({ files }): WorkspaceEdit | null => {
      const changes: Record<string, TextEdit[]> = {};
      for (const folder of folders.all) {
        const moves = new Map(
          files.flatMap(({ oldUri, newUri }) => {
            const [from, to] = [folder.fileOf(oldUri), folder.fileOf(newUri)];
            return from !== undefined && to !== undefined ? [[from, to] as const] : [];
          }),
        );
        if (moves.size > 0) addChanges(changes, folder, moves);
      }
      return Object.keys(changes).length > 0 ? { changes } : null;
    });
  },
};

function addChanges(
  changes: Record<string, TextEdit[]>,
  folder: Folder,
  moves: ReadonlyMap<string, string>,
): void {
  for (const file of filesOf(folder)) {
    const edits = findUsedFiles(folder.site, file).flatMap((use) => newPath(file, use, moves) ?? []);
    if (edits.length > 0) changes[folder.uriOf(file)] = edits;
  }
}

function newPath(
  file: string,
  { used, origin }: UsedFile,
  moves: ReadonlyMap<string, string>,
): TextEdit | undefined {
  const from = moves.get(file) ?? file;
  const to = moves.get(used) ?? used;
  if (from === file && to === used) return undefined;
  return { range: rangeOf(origin), newText: `"${relativePath(from, to)}"` };
}
