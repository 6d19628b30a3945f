import { LIST_FILES, READ_FILE } from "@limbwright/shared/editor";
import type { Connection } from "vscode-languageserver";
import { URI, Utils } from "vscode-uri";
import type { FolderFiles } from "../platform.ts";

/** The files of a folder as the client gives them, for a server that has no file system. */
export function folderOfClient(connection: Connection, folder: string): FolderFiles {
  const texts = new Map<string, string>();
  const refresh = async (file: string) => {
    const uri = Utils.joinPath(URI.parse(folder), file).toString();
    const text = await connection.sendRequest<string | null>(READ_FILE, { uri });
    if (typeof text === "string") texts.set(file, text);
    else texts.delete(file);
  };
  return {
    list: async () => {
      const listed = await connection.sendRequest<readonly string[]>(LIST_FILES, { folder });
      const files = [...listed].filter((file) => typeof file === "string" && isInside(file)).sort();
      await Promise.all(files.map(refresh));
      return files;
    },
    read: (file) => texts.get(file),
    refresh,
    // The client alone knows when a file of it changes.
    watch: () => () => {},
  };
}

function isInside(file: string): boolean {
  return !file.startsWith("/") && !file.split("/").includes("..");
}
