import { extensions, type Uri } from "vscode";

/** What is used of the editor's own Git. */
export interface Git {
  /** The text of a file in the last commit; undefined where it is not in one. */
  readonly committed: (file: Uri) => Promise<string | undefined>;
  /** Where the editor shows that text. */
  readonly uriOfCommitted: (file: Uri) => Uri;
}

/** The part of the interface, version 1, that the editor's Git extension offers to others. */
interface GitInterface {
  getRepository(file: Uri): { show(of: string, path: string): Promise<string> } | null;
  toGitUri(file: Uri, of: string): Uri;
}

interface GitExtension {
  readonly enabled: boolean;
  getAPI(version: 1): GitInterface;
}

const LAST_COMMIT = "HEAD";

/** Undefined where the editor has no Git, as in a browser, or where it is turned off. */
export async function gitOfEditor(): Promise<Git | undefined> {
  const extension = extensions.getExtension<GitExtension>("vscode.git");
  const git = await extension?.activate();
  if (!git?.enabled) return undefined;
  const offered = git.getAPI(1);
  return {
    committed: async (file) => {
      try {
        return await offered.getRepository(file)?.show(LAST_COMMIT, file.fsPath);
      } catch {
        return undefined;
      }
    },
    uriOfCommitted: (file) => offered.toGitUri(file, LAST_COMMIT),
  };
}
