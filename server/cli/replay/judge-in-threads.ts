import type { Worker } from "node:worker_threads";
import { type CaseReport, type CaseRows, type KnownEvents, packed } from "@limbwright/shared/replay";
import { startThread } from "./in-threads.ts";
import type { CaseTaker } from "./replay-file.ts";
import type { ThreadData, ThreadMessage, ThreadTask } from "./thread.ts";

/** So many cases are given to a thread at once, and so many such tasks may wait for each thread. */
const AT_ONCE = 50;
const MOST_WAITING = 8;

export interface JudgingThreads {
  readonly script: string;
  readonly count: number;
  readonly data: ThreadData;
}

/** Judges cases in threads while the main thread reads on; what they find is told in the order in which the cases were taken. */
export class JudgeInThreads implements CaseTaker {
  readonly events: KnownEvents;
  readonly #onCase: (report: CaseReport) => void;
  readonly #threads: readonly Worker[];
  readonly #found = new Map<number, readonly CaseReport[]>();
  #batch: CaseRows[] = [];
  #given = 0;
  #told = 0;
  #failed: Error | undefined;
  #heard: () => void = () => {};

  constructor(
    events: KnownEvents,
    { script, count, data }: JudgingThreads,
    onCase: (report: CaseReport) => void,
  ) {
    this.events = events;
    this.#onCase = onCase;
    this.#threads = Array.from({ length: count }, (_, thread) => {
      const worker = startThread(script, data);
      let number = thread;
      worker.on("message", (message: ThreadMessage) => {
        if (message.kind === "cases") this.#hear(number, message.reports);
        number += count;
      });
      worker.on("error", (error) => {
        this.#failed = error instanceof Error ? error : new Error(String(error));
        this.#heard();
      });
      return worker;
    });
  }

  readonly take = (rows: CaseRows): void => {
    this.#batch.push(rows);
    if (this.#batch.length >= AT_ONCE) this.#give();
  };

  readonly room = (): Promise<void> => this.#until(MOST_WAITING * this.#threads.length);

  /** Waits until all cases that were taken are told. */
  async allTold(): Promise<void> {
    this.#give();
    await this.#until(0);
  }

  async end(): Promise<void> {
    await Promise.all(this.#threads.map((worker) => worker.terminate()));
  }

  /** Task after task goes to thread after thread. */
  #give(): void {
    if (this.#batch.length === 0) return;
    const cases = packed(this.#batch);
    this.#batch = [];
    const columns = Object.values(cases).flatMap((column) =>
      ArrayBuffer.isView(column) ? [column.buffer] : [],
    );
    const task: ThreadTask = { kind: "judge", cases };
    this.#threads[this.#given % this.#threads.length]?.postMessage(task, columns as ArrayBuffer[]);
    this.#given += 1;
  }

  #hear(number: number, reports: readonly CaseReport[]): void {
    this.#found.set(number, reports);
    for (let next = this.#found.get(this.#told); next; next = this.#found.get(this.#told)) {
      for (const report of next) this.#onCase(report);
      this.#found.delete(this.#told);
      this.#told += 1;
    }
    this.#heard();
  }

  /** Waits until no more than so many tasks are not told. Throws what went wrong in a thread. */
  async #until(most: number): Promise<void> {
    for (;;) {
      if (this.#failed) throw this.#failed;
      if (this.#given - this.#told <= most) return;
      await new Promise<void>((resolve) => {
        this.#heard = resolve;
      });
    }
  }
}
