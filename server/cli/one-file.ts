import { openFiles } from "../workspace/open-files.ts";
import { Trouble } from "../workspace/trouble.ts";
import type { Workspace } from "../workspace/workspace.ts";

export interface OneFile {
  readonly workspace: Workspace;
  /** Its path in the workspace. */
  readonly file: string;
}

/**
 * Opens the one file that a command is about; `subject` is what the command makes, such as "a table". Throws `Trouble`
 * where it cannot be opened, or is a folder with several.
 */
export function openOneFile(
  named: string,
  {
    workspace: asked,
    currentFolder,
  }: { readonly workspace: string | undefined; readonly currentFolder: string },
  subject: string,
): OneFile {
  const { workspace, files, troubles } = openFiles({ names: [named], workspace: asked, currentFolder });
  const [file] = files;
  const [trouble] = troubles;
  if (trouble) throw trouble;
  if (file !== undefined && files.length === 1) return { workspace, file };
  throw new Trouble({
    file: named,
    what: `${named} is a folder with several files; ${subject} is about one protocol.`,
    next: "Name the file of the protocol.",
  });
}
