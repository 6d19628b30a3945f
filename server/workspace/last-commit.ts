import type { EarlierTexts } from "@limbwright/language";
import { git, isRefusal, mayLieInRepository, refusalWords } from "./git.ts";
import { entriesOf, GitTree, type TreeEntry } from "./git-tree.ts";
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
  return mayLieInRepository(folder) ? textsOf(folder, "HEAD", () => entriesOfLastCommit(folder)) : undefined;
}

/** The same of a commit that is known already. */
export function textsOfCommit(folder: string, { key, entries, refusal }: CommitListed): EarlierTexts {
  return textsOf(folder, key, () => (refusal === undefined ? entries : { refusal }));
}

function textsOf(folder: string, key: string, listed: () => CommitListed["entries"] | Refused): EarlierTexts {
  let opened: GitTree | undefined;
  let answer: CommitListed["entries"] | Refused | undefined;
  const askOnce = () => {
    answer ??= listed();
    return answer;
  };
  const entries = () => {
    const found = askOnce();
    return "refusal" in found ? NONE : found;
  };
  const tree = () => {
    opened ??= new GitTree({ folder, prefix: "", entries: entries(), place: "HEAD:./" });
    return opened;
  };
  return {
    name: "the last commit",
    key,
    refusal: () => {
      const found = askOnce();
      return "refusal" in found ? found.refusal : undefined;
    },
    files: () => filesOf(tree()),
    holds: (file) => tree().holds(file),
    textOf: (file) => tree().textOf(file),
    hasText: (file, text) => tree().hasText(file, text),
    whyUnread: (file) => tree().whyUnread(file),
  };
}

/** Why Git does not give the last commit, though there is one. */
interface Refused {
  readonly refusal: string;
}

const NONE: CommitListed["entries"] = new Map();

function entriesOfLastCommit(folder: string): CommitListed["entries"] | Refused {
  try {
    return entriesOf(git(folder, ["ls-tree", "-r", "-z", "HEAD"]));
  } catch (error) {
    if (codeOf(error) === "ENOENT") return NONE;
    if (!isRefusal(error)) throw error;
    const words = refusalWords(error);
    if (isNoRepository(words) || hasNoCommit(folder)) return NONE;
    return { refusal: notRead(words) };
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
