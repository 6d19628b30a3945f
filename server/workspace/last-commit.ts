import type { EarlierTexts } from "@limbwright/language";
import { git, isRefusal, mayLieInRepository } from "./git.ts";
import { entriesOf, GitTree, type TreeEntry } from "./git-tree.ts";
import { codeOf, Trouble } from "./trouble.ts";

/** What a commit holds below a folder, by the paths from there. */
export interface CommitListed {
  /** What tells it from any other. */
  readonly key: string;
  readonly entries: ReadonlyMap<string, TreeEntry>;
}

/**
 * The texts of the last commit below a folder, by their paths from there. Git is asked when a text is. Where there is no Git, no
 * repository around the folder or no commit in it, there is, without a word, no text.
 */
export function lastCommit(folder: string): EarlierTexts | undefined {
  return mayLieInRepository(folder) ? textsOf(folder, "HEAD", () => entriesOfLastCommit(folder)) : undefined;
}

/** The same of a commit that is known already. */
export function textsOfCommit(folder: string, { key, entries }: CommitListed): EarlierTexts {
  return textsOf(folder, key, () => entries);
}

function textsOf(folder: string, key: string, entries: () => CommitListed["entries"]): EarlierTexts {
  let opened: GitTree | undefined;
  const tree = () => {
    opened ??= new GitTree({ folder, prefix: "", entries: entries(), place: "HEAD:./" });
    return opened;
  };
  return {
    name: "the last commit",
    key,
    files: () => filesOf(tree()),
    holds: (file) => tree().holds(file),
    textOf: (file) => tree().textOf(file),
    hasText: (file, text) => tree().hasText(file, text),
    whyUnread: (file) => tree().whyUnread(file),
  };
}

function entriesOfLastCommit(folder: string): CommitListed["entries"] {
  try {
    return entriesOf(git(folder, ["ls-tree", "-r", "-z", "HEAD"]));
  } catch (error) {
    if (isRefusal(error) || codeOf(error) === "ENOENT") return new Map();
    throw error;
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
