import { judgeFile, type ScenarioResult, workspaceFindings } from "@limbwright/language";
import type { ProofState } from "@limbwright/shared/editor";
import type { Finding } from "@limbwright/shared/finding";
import type { FileInFolder, Folder } from "../folders/folder.ts";
import type { FollowCommits } from "../platform.ts";
import type { AwaitedRequest, ProverAnswer, ProverThread, ToCompare } from "../prover/prover-messages.ts";
import { Entries } from "./entries.ts";
import { type StateAtProtocol, statesOf } from "./proof-states.ts";

export interface CheckerOptions {
  readonly prover: ProverThread;
  readonly today: () => string;
  /** Takes the findings of a folder by file, whenever they may be others. */
  readonly show: (folder: Folder, findings: ReadonlyMap<string, readonly Finding[]>) => void;
  /** Takes how far the checks have come, after what they found was shown. */
  readonly tell: (state: ProofState) => void;
  /** Takes what went wrong in the program itself. */
  readonly fault: (words: string) => void;
}

/** What a scenario came to; no result where there is no such scenario. */
export interface RanScenario {
  readonly result?: ScenarioResult;
  readonly isStale: boolean;
}

interface Task extends FileInFolder {
  readonly number: number;
  readonly commit: Entries["commit"];
  readonly texts: ReadonlyMap<string, string | undefined>;
}

/** Whether anything in a folder is still to be checked, or to be learnt before it can be. */
function isAtWork({ isAwaitingCommit, waiting: { quick, proof } }: Entries): boolean {
  return isAwaitingCommit || quick.length + proof.length > 0;
}

/** How long keys are waited for before a text is read, and how long what closed files give is gathered, in ms. */
const PAUSE = 1;
const GATHERING = 100;

/**
 * Checks at two speeds. What needs no run is judged as soon as nobody types for an instant; then the runs are gone through
 * in a thread of their own, one file after the other, those that are open first. The next change of any text interrupts
 * that. What was found before stays, marked stale, until it was looked at again.
 */
export class Checker {
  readonly #options: CheckerOptions;
  readonly #folders = new Map<string, Entries>();
  #followCommits: FollowCommits | undefined;
  /** What ends the following of a folder's last commit. */
  readonly #followed = new Map<string, () => void>();
  /** What the prover's thread was told of each folder's texts. */
  readonly #told = new Map<string, Map<string, string | undefined>>();
  #task: Task | undefined;
  #tasks = 0;
  #judging: ReturnType<typeof setTimeout> | undefined;
  #showing: { readonly timer: ReturnType<typeof setTimeout>; readonly isSoon: boolean } | undefined;
  #day = "";
  #loading = 0;
  /** Who waits for what a scenario or a comparison comes to, by its task. */
  readonly #awaited = new Map<number, (answer: ProverAnswer) => void>();
  #awaiting: (() => void)[] = [];

  constructor(options: CheckerOptions) {
    this.#options = options;
    options.prover.onAnswer((answer) => this.#take(answer));
  }

  /** Takes note that the text of a file may be another, or that it came or went. */
  noteChange({ folder, file }: FileInFolder): void {
    const entries = this.#folders.get(folder.uri) ?? this.#newEntries(folder);
    entries.noteChange(file);
    if (this.#task) this.#options.prover.interrupt(this.#task.number);
    this.#judging ??= setTimeout(() => this.#judge(), PAUSE);
  }

  /** Lets go of a folder and all that was found in it. */
  close(folder: Folder): void {
    this.#folders.delete(folder.uri);
    this.#followed.get(folder.uri)?.();
    this.#followed.delete(folder.uri);
    this.#told.delete(folder.uri);
    this.#options.prover.post({ kind: "close", folder: folder.uri });
    this.#options.show(folder, new Map());
    this.#showSoon(true);
  }

  /** From now on protocols are also compared with the last commit. */
  compareWithCommits(follow: FollowCommits): void {
    this.#followCommits = follow;
    for (const entries of this.#folders.values()) this.#follow(entries);
  }

  /** Stops what is still to be gone through; the next change of a text goes on with it. */
  stop(): void {
    for (const entries of this.#folders.values()) entries.stop();
    if (this.#task) this.#options.prover.interrupt(this.#task.number);
    this.#showSoon(true);
  }

  /** Counts something as still to be checked until it has come: files that are being read. */
  waitFor(loading: Promise<void>): void {
    this.#loading += 1;
    void loading.finally(() => {
      this.#loading -= 1;
      this.#showSoon(true);
    });
  }

  /** How far the check of a file's protocols has come. */
  statesOf({ folder, file }: FileInFolder): readonly StateAtProtocol[] {
    const entries = this.#folders.get(folder.uri);
    const entry = entries?.get(file);
    return entries && entry ? statesOf(entries, file, entry) : [];
  }

  /** The day on which dates are judged. */
  get day(): string {
    return this.#today();
  }

  /** What is found in a folder now, as it is shown. */
  findingsIn(folder: Folder): readonly Finding[] {
    return [...this.#findings(folder).values()].flat();
  }

  /** What is found in a file now, as it is shown. */
  findingsOf({ folder, file }: FileInFolder): readonly Finding[] {
    return this.#findings(folder).get(file) ?? [];
  }

  /**
   * Runs the scenario of a file that has this title, in the prover's thread. Comes without a result where there is none;
   * `isStale` says whether a text that it rests on was changed meanwhile. Rejects on a fault of ours.
   */
  async runScenario({ folder, file }: FileInFolder, scenario: string): Promise<RanScenario> {
    const on = this.#today();
    const uses = folder.site.file(file)?.uses ?? [];
    const texts = new Map([file, ...uses].map((one) => [one, folder.textOf(one)]));
    this.#mirror(folder, [...texts.keys()]);
    this.#tasks += 1;
    const task = this.#tasks;
    const { ran } = await this.#askProver({
      kind: "run-scenario",
      folder: folder.uri,
      file,
      scenario,
      on,
      task,
    });
    const isStale = [...texts].some(([one, text]) => folder.textOf(one) !== text);
    return { ...(ran && { result: ran }), isStale };
  }

  /**
   * Compares files of a folder, which use `used`, with what they were, in the prover's thread; comes as markup, with why not, or with
   * nothing where it was cancelled. `onCancel` takes what cancels it. Rejects on a fault of ours.
   */
  async compare(
    folder: Folder,
    asked: ToCompare,
    used: readonly string[],
    onCancel: (cancel: () => void) => void,
  ): Promise<ProverAnswer["compared"]> {
    this.#mirror(folder, [...asked.now.files, ...used]);
    this.#tasks += 1;
    const task = this.#tasks;
    onCancel(() => this.#options.prover.cancel(task));
    const on = this.#today();
    return (await this.#askProver({ kind: "compare", folder: folder.uri, on, task, ...asked })).compared;
  }

  /** Comes once nothing is left to be checked and what was found is shown. */
  whenChecked(): Promise<void> {
    return new Promise((resolve) => {
      this.#awaiting.push(resolve);
      this.#judging ??= setTimeout(() => this.#judge(), PAUSE);
    });
  }

  end(): void {
    clearTimeout(this.#judging);
    clearTimeout(this.#showing?.timer);
    for (const end of this.#followed.values()) end();
    this.#options.prover.end();
  }

  #newEntries(folder: Folder): Entries {
    const entries = new Entries(folder);
    this.#folders.set(folder.uri, entries);
    this.#follow(entries);
    return entries;
  }

  #follow(entries: Entries): void {
    const { uri } = entries.folder;
    if (!this.#followCommits || this.#followed.has(uri)) return;
    entries.isAwaitingCommit = true;
    const end = this.#followCommits(uri, (commit) => {
      entries.compareWith(commit);
      this.#options.prover.post({ kind: "commit", folder: uri, commit });
      if (this.#task?.folder === entries.folder) this.#options.prover.interrupt(this.#task.number);
      this.#judging ??= setTimeout(() => this.#judge(), PAUSE);
    });
    this.#followed.set(uri, end);
  }

  async #askProver(request: AwaitedRequest): Promise<ProverAnswer> {
    const answer = new Promise<ProverAnswer>((resolve) => this.#awaited.set(request.task, resolve));
    this.#options.prover.post(request);
    const { fault, ...answered } = await answer;
    if (fault !== undefined) throw new Error(fault);
    return answered;
  }

  #judge(): void {
    this.#judging = undefined;
    const on = this.#today();
    for (const entries of this.#folders.values()) {
      for (const file of entries.waiting.quick) {
        const entry = entries.get(file);
        const { remembered } = entries;
        const judged = judgeFile(entries.folder.site, file, { on, withoutRuns: true, remembered });
        if (entry && judged) entry.quick = judged;
      }
    }
    this.#show();
    this.#prove();
  }

  /** The day on which dates are judged; on another one everything is judged again. */
  #today(): string {
    const day = this.#options.today();
    if (this.#day !== "" && this.#day !== day) {
      for (const entries of this.#folders.values()) entries.renewAll();
    }
    this.#day = day;
    return day;
  }

  #prove(): void {
    if (this.#task) return;
    const next = this.#next();
    if (!next) {
      this.#showSoon(true);
      return;
    }
    const { folder, file } = next;
    this.#mirror(folder);
    this.#tasks += 1;
    const used = this.#folders.get(folder.uri)?.get(file)?.quick?.uses ?? folder.listed;
    const texts = new Map([file, ...used].map((one) => [one, folder.textOf(one)]));
    this.#task = { ...next, number: this.#tasks, texts, commit: this.#folders.get(folder.uri)?.commit };
    this.#options.prover.post({
      kind: "judge",
      folder: folder.uri,
      file,
      on: this.#day,
      task: this.#tasks,
      isOpen: folder.openDocument(file) !== undefined,
    });
  }

  #next(): FileInFolder | undefined {
    const waiting = [...this.#folders.values()]
      .filter(({ isAwaitingCommit }) => !isAwaitingCommit)
      .flatMap(({ folder, waiting: { proof } }) => proof.slice(0, 1).map((file) => ({ folder, file })));
    return waiting.find(({ folder, file }) => folder.openDocument(file)) ?? waiting[0];
  }

  /** Tells the prover's thread every text of a folder, and of some files in it, that it does not have as it stands. */
  #mirror(folder: Folder, asked: readonly string[] = []): void {
    const told = this.#told.get(folder.uri) ?? new Map<string, string | undefined>();
    this.#told.set(folder.uri, told);
    const entries = this.#folders.get(folder.uri);
    const used = folder.openFiles.flatMap((file) => entries?.get(file)?.quick?.uses ?? []);
    for (const file of new Set([...told.keys(), ...folder.listed, ...folder.openFiles, ...used, ...asked])) {
      const text = folder.textOf(file);
      if (told.has(file) && told.get(file) === text) continue;
      told.set(file, text);
      this.#options.prover.post({ kind: "text", folder: folder.uri, file, text });
    }
  }

  #take(answer: ProverAnswer): void {
    const { task, judged, fault } = answer;
    const isWaitedFor = this.#awaited.get(task);
    if (isWaitedFor) {
      this.#awaited.delete(task);
      isWaitedFor(answer);
      return;
    }
    const done = this.#task;
    if (!done || done.number !== task) return;
    this.#task = undefined;
    const { folder, file } = done;
    const entries = this.#folders.get(folder.uri);
    const entry = entries?.get(file);
    if (fault !== undefined) this.#options.fault(fault);
    const isCurrent =
      entries?.commit === done.commit && [...done.texts].every(([one, text]) => folder.textOf(one) === text);
    if (entry && judged && isCurrent && !this.#lacksTexts(folder, judged.missing)) {
      entry.proven = {
        judged,
        texts: new Map([file, ...judged.uses].map((one) => [one, done.texts.get(one)])),
      };
      entry.isProven = true;
    } else if (entry && (fault !== undefined || folder.textOf(file) === undefined)) {
      entry.isStopped = true;
    }
    this.#showSoon(folder.openDocument(file) !== undefined);
    if (!this.#judging) this.#prove();
  }

  /** Whether the prover lacked a file that is there: one used by a closed file under a name of its own. */
  #lacksTexts(folder: Folder, missing: readonly string[]): boolean {
    const there = missing.filter((file) => folder.textOf(file) !== undefined);
    const told = this.#told.get(folder.uri);
    for (const file of there) told?.set(file, undefined);
    return there.length > 0;
  }

  #showSoon(isSoon: boolean): void {
    if (this.#showing && (this.#showing.isSoon || !isSoon)) return;
    clearTimeout(this.#showing?.timer);
    this.#showing = { isSoon, timer: setTimeout(() => this.#show(), isSoon ? 0 : GATHERING) };
  }

  #show(): void {
    clearTimeout(this.#showing?.timer);
    this.#showing = undefined;
    for (const { folder } of this.#folders.values()) this.#options.show(folder, this.#findings(folder));
    const all = [...this.#folders.values()];
    const protocols = all.flatMap((entries) =>
      entries.files.flatMap((file) => this.statesOf({ folder: entries.folder, file })),
    );
    const isRunning = this.#loading > 0 || all.some(isAtWork);
    const filesLeft = all.reduce((sum, entries) => sum + entries.unjudged, 0);
    this.#options.tell({ isRunning, protocols: protocols.map(({ judged, ...state }) => state), filesLeft });
    if (!isRunning) for (const go of this.#awaiting.splice(0)) go();
  }

  #findings(folder: Folder): ReadonlyMap<string, readonly Finding[]> {
    return workspaceFindings(this.#folders.get(folder.uri)?.judgedFiles() ?? [], this.#day);
  }
}
