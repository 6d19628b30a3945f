import { type FSWatcher, watch } from "node:fs";
import { fileURLToPath } from "node:url";
import { askGit, type GitAnswer, mayLieInRepository } from "../../workspace/git.ts";
import { entriesOf } from "../../workspace/git-tree.ts";
import { type CommitListed, isNoRepository, notRead } from "../../workspace/last-commit.ts";
import type { FollowCommits } from "../platform.ts";

/** How long what Git writes is gathered before it is asked, in ms: a commit writes many files. */
const GATHERING = 200;

/**
 * Follows the last commit by the folder in which Git keeps what it does: whatever is committed, checked out or reset is written
 * there. Nothing is asked of Git while nothing is.
 */
export const followCommits: FollowCommits = (uri, take) => {
  const folder = uri.startsWith("file:") ? fileURLToPath(uri) : undefined;
  if (folder === undefined || !mayLieInRepository(folder)) {
    take(undefined);
    return () => {};
  }
  const following = new Following(folder, take);
  void following.start();
  return () => following.end();
};

class Following {
  readonly #folder: string;
  readonly #take: (commit: CommitListed | undefined) => void;
  #watcher: FSWatcher | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** What was heard of the last commit when it was last asked for: its name, a refusal, or nothing. */
  #heard: GitAnswer | undefined;
  #isEnded = false;

  constructor(folder: string, take: (commit: CommitListed | undefined) => void) {
    this.#folder = folder;
    this.#take = take;
  }

  async start(): Promise<void> {
    const repository = await askGit(this.#folder, ["rev-parse", "--absolute-git-dir"]);
    // What is committed while the first look is taken is not to be missed.
    if (repository?.printed !== undefined && !this.#isEnded) this.#watch(repository.printed.trim());
    await this.#takeIn(await this.#hear());
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
    const heard = await this.#hear();
    const isOther = heard?.printed !== this.#heard?.printed || heard?.refusal !== this.#heard?.refusal;
    if (isOther) await this.#takeIn(heard);
  }

  /** What was listed for an older commit comes too late where a newer one was met meanwhile. */
  async #takeIn(heard: GitAnswer | undefined): Promise<void> {
    this.#heard = heard;
    const commit = await this.#listCommit(heard);
    if (!this.#isEnded && this.#heard === heard) this.#take(commit);
  }

  /** All that the commit holds below the folder has one name. Undefined where there is nothing of it. */
  async #hear(): Promise<GitAnswer | undefined> {
    const heard = await askGit(this.#folder, ["rev-parse", "--verify", "--quiet", "HEAD:./"]);
    if (heard?.refusal === undefined) return heard;
    if (heard.refusal === "") return this.#whyNothing();
    return isNoRepository(heard.refusal) ? undefined : heard;
  }

  /** Quiet: Git said nothing. There is no commit, or nothing of the folder in it; or it cannot be read, which is a refusal. */
  async #whyNothing(): Promise<GitAnswer | undefined> {
    const commit = await askGit(this.#folder, ["rev-parse", "--verify", "--quiet", "HEAD"]);
    const tree = commit?.printed === undefined ? undefined : await askGit(this.#folder, ["ls-tree", "HEAD"]);
    return tree?.refusal === undefined ? undefined : tree;
  }

  async #listCommit(heard: GitAnswer | undefined): Promise<CommitListed | undefined> {
    const key = heard?.printed?.trim();
    const listed =
      key === undefined ? heard : await askGit(this.#folder, ["ls-tree", "-r", "-z", "--full-tree", key]);
    const words = listed?.refusal;
    if (words !== undefined) return { key: `refused: ${words}`, entries: new Map(), refusal: notRead(words) };
    if (key === undefined || listed === undefined) return undefined;
    return { key, entries: entriesOf(listed.printed) };
  }
}
