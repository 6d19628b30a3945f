import { type JudgedFile, RememberedJudgements } from "@limbwright/language";
import type { CommitListed } from "../../workspace/last-commit.ts";
import type { Folder } from "../folders/folder.ts";
import { allStale, type Proven, withStale } from "./stale.ts";

/** What is known of one file. */
export interface Entry {
  /** Judged at once, without its runs, on the text as it stands; only of files that are open. */
  quick?: JudgedFile;
  /** Judged with its runs, on the text as it stood then. */
  proven?: Proven;
  /** Whether it was judged with its runs as it stands now. */
  isProven: boolean;
  /** Whether the person at the editor stopped the check; the next change of a text goes on with it. */
  isStopped: boolean;
}

/** What is known of the files of one folder that are to be checked. */
export class Entries {
  readonly folder: Folder;
  /** What was found at once in the files that are open. */
  readonly remembered = new RememberedJudgements();
  readonly #entries = new Map<string, Entry>();
  #commit: CommitListed | undefined;
  /** Whether the last commit is still to be told: nothing is proven without it. */
  isAwaitingCommit = false;

  constructor(folder: Folder) {
    this.folder = folder;
  }

  get files(): readonly string[] {
    return [...this.#entries.keys()];
  }

  get(file: string): Entry | undefined {
    return this.#entries.get(file);
  }

  /** Takes note that the text of a file may be another: it, and all that use it, are to be checked again. */
  noteChange(file: string): void {
    if (!this.folder.openDocument(file)) this.remembered.forget(file);
    const isToBeChecked = this.folder.openDocument(file) || this.folder.listed.has(file);
    if (!isToBeChecked) this.#entries.delete(file);
    else if (!this.#entries.has(file)) this.#entries.set(file, { isProven: false, isStopped: false });
    for (const [one, entry] of this.#entries) {
      entry.isStopped = false;
      if (one === file || restsOn(entry, file)) renew(entry);
    }
  }

  /** What protocols are compared with. */
  get commit(): CommitListed | undefined {
    return this.#commit;
  }

  /** Takes note that the last commit is another: what rests on what it says otherwise is to be proven again. */
  compareWith(commit: CommitListed | undefined): void {
    const before = this.#commit;
    const isFirst = this.isAwaitingCommit;
    this.#commit = commit;
    this.isAwaitingCommit = false;
    const idIn = (of: CommitListed | undefined, file: string) => of?.entries.get(file)?.id;
    for (const [file, entry] of this.#entries) {
      const others = [...(entry.proven?.judged.uses ?? []), ...(entry.proven?.judged.missing ?? [])];
      // The earlier version of a file that is new may be in any file.
      const isAsItWas =
        idIn(commit, file) !== undefined &&
        [file, ...others].every((one) => idIn(commit, one) === idIn(before, one));
      if (isFirst || !isAsItWas) entry.isProven = false;
    }
  }

  /** Everything is to be checked again, as on another day. */
  renewAll(): void {
    for (const entry of this.#entries.values()) renew(entry);
  }

  /** How many files were not judged in any way yet. */
  get unjudged(): number {
    return [...this.#entries.values()].filter(({ quick, proven }) => !quick && !proven).length;
  }

  /** The open files that were not judged at once yet, and those to be proven, the open ones first. */
  get waiting(): { readonly quick: readonly string[]; readonly proof: readonly string[] } {
    const isOpen = (file: string) => this.folder.openDocument(file) !== undefined;
    const all = [...this.#entries];
    const unproven = all
      .filter(([, { isProven, isStopped }]) => !isProven && !isStopped)
      .map(([file]) => file);
    return {
      quick: all.filter(([file, { quick }]) => !quick && isOpen(file)).map(([file]) => file),
      proof: [...unproven.filter(isOpen), ...unproven.filter((file) => !isOpen(file))],
    };
  }

  stop(): void {
    for (const entry of this.#entries.values()) entry.isStopped = !entry.isProven;
  }

  /** What is to be shown of each file now. */
  judgedFiles(): JudgedFile[] {
    const textOf = (file: string) => this.folder.textOf(file);
    return [...this.#entries.values()].flatMap(({ quick, proven, isProven }) => {
      if (proven && isProven) return [proven.judged];
      if (quick) return [proven ? withStale(quick, proven, textOf) : quick];
      return proven ? [allStale(proven, textOf)] : [];
    });
  }
}

function renew(entry: Entry): void {
  entry.isProven = false;
  delete entry.quick;
}

function restsOn({ quick, proven }: Entry, file: string): boolean {
  return [quick, proven?.judged].some(
    (judged) => judged?.uses.includes(file) || judged?.missing.includes(file),
  );
}
