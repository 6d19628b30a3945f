import type { EarlierTexts } from "@limbwright/language";
import { git, isRefusal, mayLieInRepository, refusalWords } from "./git.ts";
import { entriesOf, GitTree, type TreeEntry } from "./git-tree.ts";
import { once } from "./once.ts";
import { codeOf, Trouble } from "./trouble.ts";

/** What a commit holds below a folder, by the paths from there. */
export interface CommitListed {
  /** What tells it from any other. */
  readonly key: string;
  readonly entries: ReadonlyMap<string, TreeEntry>;
  /** Why Git does not tell what it holds, though there is one. */
  readonly refusal?: string;
}

/**
 * The texts of the last commit below a folder, by their paths from there. Git is asked when a text is. Where there is no Git, no
 * repository around the folder or no commit in it, there is, without a word, no text.
 */
export function lastCommit(folder: string): EarlierTexts | undefined {
  return mayLieInRepository(folder) ? textsOf(folder, "HEAD", () => listLastCommit(folder)) : undefined;
}

/** The same of a commit that is known already. */
export function textsOfCommit(folder: string, commit: CommitListed): EarlierTexts {
  return textsOf(folder, commit.key, () => commit);
}

type Listed = Omit<CommitListed, "key">;

function textsOf(folder: string, key: string, list: () => Listed): EarlierTexts {
  const listed = once(list);
  const tree = once(() => new GitTree({ folder, prefix: "", entries: listed().entries, place: "HEAD:./" }));
  return {
    name: "the last commit",
    key,
    refusal: () => listed().refusal,
    files: () => filesOf(tree()),
    holds: (file) => tree().holds(file),
    textOf: (file) => tree().textOf(file),
    hasText: (file, text) => tree().hasText(file, text),
    whyUnread: (file) => tree().whyUnread(file),
  };
}

function listLastCommit(folder: string): Listed {
  const entries: CommitListed["entries"] = new Map();
  try {
    return { entries: entriesOf(git(folder, ["ls-tree", "-r", "-z", "HEAD"])) };
  } catch (error) {
    if (codeOf(error) === "ENOENT") return { entries };
    if (!isRefusal(error)) throw error;
    const words = refusalWords(error);
    if (isNoRepository(words) || hasNoCommit(folder)) return { entries };
    return { entries, refusal: notRead(words) };
  }
}

/** Whether Git refuses because the folder lies in no repository. */
export function isNoRepository(words: string): boolean {
  return words.includes("not a git repository");
}

/** Why a last commit is not read, from what Git says. */
export function notRead(words: string): string {
  return `Git does not read the last commit: ${words.split("\n")[0]}`;
}

function hasNoCommit(folder: string): boolean {
  try {
    git(folder, ["rev-parse", "--verify", "--quiet", "HEAD"]);
    return false;
  } catch (error) {
    // Quiet: it says nothing where there is no such commit, and else what is wrong.
    return isRefusal(error) && refusalWords(error) === "";
  }
}

function filesOf(tree: GitTree): readonly string[] {
  try {
    return tree.filesAt("");
  } catch (error) {
    // It holds no protocol.
    if (error instanceof Trouble) return [];
    throw error;
  }
}
