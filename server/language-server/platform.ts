import type { CommitListed } from "../workspace/last-commit.ts";
import type { Trouble } from "../workspace/trouble.ts";
import type { ProverThread } from "./prover/prover-messages.ts";

/** What the machine has to give that the server runs on: Node, or a web worker. */
export interface Platform {
  /** The day, YYYY-MM-DD. */
  readonly today: () => string;
  /** The files of a folder; `undefined` for text that lies in none, such as a new one that was not saved. */
  readonly openFolder: (uri: string) => FolderFiles | undefined;
  /**
   * Gives what the last commit of the repository around a folder holds below it, now and whenever it is another; undefined where there
   * is none. Gives what ends it. Missing where there is no Git.
   */
  readonly followCommits?: FollowCommits;
  /** Starts a thread in which protocols are proven; undefined where there is none to be had. */
  readonly startProver: () => ProverThread | undefined;
}

export type FollowCommits = (uri: string, take: (commit: CommitListed | undefined) => void) => () => void;

/** The files of one folder, known by their path in it, with / between folders. Nothing outside is read, nor through a link. */
export interface FolderFiles {
  /** Every `.limb` file, once it is known. */
  readonly list: () => Promise<readonly string[]>;
  /** The text of a file; what stands in the way, if anything; undefined where there is no such file. */
  readonly read: (file: string) => string | Trouble | undefined;
  /** Comes once `read` gives a file as it stands now. */
  readonly refresh: (file: string) => Promise<void>;
  /** Tells of files that were changed, created or deleted, for clients that do not; gives what ends it. */
  readonly watch: (changed: (file: string) => void) => () => void;
}
