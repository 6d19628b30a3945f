import { type FSWatcher, watch } from "node:fs";
import { fileURLToPath } from "node:url";
import { askGit, mayLieInRepository } from "../../workspace/git.ts";
import { entriesOf } from "../../workspace/git-tree.ts";
import type { CommitListed } from "../../workspace/last-commit.ts";
import type { FollowCommits } from "../platform.ts";

/** How long what Git writes is gathered before it is asked, in ms: a commit writes many files. */
const GATHERING = 200;

/**
 * Follows the last commit by the folder in which Git keeps what it does: whatever is committed, checked out or reset is written
 * there. Nothing is asked of Git while nothing is.
 */
export const followCommits: FollowCommits = (uri, take) => {
  const folder = pathOf(uri);
  if (folder === undefined || !mayLieInRepository(folder)) {
    take(undefined);
    return () => {};
  }
  const following = new Following(folder, take);
  void following.start();
  return () => following.end();
};

/** Undefined for a folder that is not on the disk. */
function pathOf(uri: string): string | undefined {
  return uri.startsWith("file:") ? fileURLToPath(uri) : undefined;
}

class Following {
  readonly #folder: string;
  readonly #take: (commit: CommitListed | undefined) => void;
  #watcher: FSWatcher | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #key: string | undefined;
  #isEnded = false;

  constructor(folder: string, take: (commit: CommitListed | undefined) => void) {
    this.#folder = folder;
    this.#take = take;
  }

  async start(): Promise<void> {
    const repository = await askGit(this.#folder, ["rev-parse", "--absolute-git-dir"]);
    // What is committed while the first look is taken is not to be missed.
    if (repository !== undefined && !this.#isEnded) this.#watch(repository.trim());
    await this.#takeAt(await this.#keyNow());
  }

  end(): void {
    this.#isEnded = true;
    clearTimeout(this.#timer);
    this.#watcher?.close();
  }

  /** Where nothing can be watched, the commit stays the one that was there when the folder was opened. */
  #watch(repository: string): void {
    try {
      this.#watcher = watch(repository, { persistent: false }, () => {
        this.#timer ??= setTimeout(() => void this.#lookAgain(), GATHERING);
      });
      this.#watcher.on("error", () => this.#watcher?.close());
    } catch {
      // A disk that cannot be watched.
    }
  }

  async #lookAgain(): Promise<void> {
    this.#timer = undefined;
    const key = await this.#keyNow();
    if (key !== this.#key) await this.#takeAt(key);
  }

  /** What was listed for an older commit comes too late where a newer one was met meanwhile. */
  async #takeAt(key: string | undefined): Promise<void> {
    this.#key = key;
    const commit = await this.#listed(key);
    if (!this.#isEnded && this.#key === key) this.#take(commit);
  }

  /** All that the commit holds below the folder has one name. */
  async #keyNow(): Promise<string | undefined> {
    return (await askGit(this.#folder, ["rev-parse", "--verify", "--quiet", "HEAD:./"]))?.trim();
  }

  async #listed(key: string | undefined): Promise<CommitListed | undefined> {
    if (key === undefined) return undefined;
    const listed = await askGit(this.#folder, ["ls-tree", "-r", "-z", "--full-tree", key]);
    return listed === undefined ? undefined : { key, entries: entriesOf(listed) };
  }
}
