/**
 * Where the server runs without a file system of its own, it asks the client for the files of a folder, by its URI: the
 * paths in it of every `.limb` file, with / between folders.
 */
export const LIST_FILES = "limbwright/listFiles";

export interface ListFilesAsked {
  readonly folder: string;
}

/** It asks for the text of one of them; the client answers `null` where there is no such file. */
export const READ_FILE = "limbwright/readFile";

export interface ReadFileAsked {
  readonly uri: string;
}
