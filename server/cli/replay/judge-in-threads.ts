import { setImmediate } from "node:timers/promises";
import type { Worker } from "node:worker_threads";
import {
  type CaseJudge,
  type CaseReport,
  type CaseRows,
  type KnownEvents,
  type PackedCases,
  packed,
} from "@limbwright/shared/replay";
import { startThread } from "./in-threads.ts";
import type { CaseTaker } from "./replay-file.ts";
import type { ThreadData, ThreadMessage, ThreadTask } from "./thread.ts";

/** So many cases make one task, and so many tasks a thread is given ahead. */
const AT_ONCE = 50;
const AHEAD = 4;
/** So many tasks may be done before one that is not; it keeps what waits to be told small. */
const MOST_WAITING = 100;

export interface JudgingThreads {
  readonly script: string;
  readonly count: number;
  readonly data: ThreadData;
}

/**
 * Judges cases in threads while this one reads on, and in this one, too, while those have enough to do. What is found is told in
 * the order in which the cases were taken.
 */
export class JudgeInThreads implements CaseTaker {
  readonly events: KnownEvents;
  readonly #judge: CaseJudge;
  readonly #onCase: (report: CaseReport) => void;
  readonly #threads: readonly Thread[];
  readonly #found = new Map<number, readonly CaseReport[]>();
  #batch: CaseRows[] = [];
  #given = 0;
  #told = 0;
  #failed: Error | undefined;
  #heard: () => void = () => {};

  constructor(
    judge: CaseJudge,
    { script, count, data }: JudgingThreads,
    onCase: (report: CaseReport) => void,
  ) {
    this.events = judge.events;
    this.#judge = judge;
    this.#onCase = onCase;
    this.#threads = Array.from({ length: count }, () => this.#thread(startThread(script, data)));
  }

  readonly take = (rows: CaseRows): void => {
    this.#batch.push(rows);
    if (this.#batch.length >= AT_ONCE) this.#give();
  };

  /** Hears what the threads found meanwhile, too. */
  readonly room = async (): Promise<void> => {
    await setImmediate();
    await this.#until(MOST_WAITING);
  };

  /** Waits until all cases that were taken are told. */
  async allTold(): Promise<void> {
    this.#give();
    await this.#until(0);
  }

  async end(): Promise<void> {
    await Promise.all(this.#threads.map(({ worker }) => worker.terminate()));
  }

  #thread(worker: Worker): Thread {
    const tasks: number[] = [];
    worker.on("message", (message: ThreadMessage) => {
      if (message.kind === "cases") this.#hear(tasks.shift() as number, message.reports);
    });
    worker.on("error", (error) => {
      this.#failed = error instanceof Error ? error : new Error(String(error));
      this.#heard();
    });
    return { worker, tasks };
  }

  #give(): void {
    const cases = this.#batch;
    if (cases.length === 0) return;
    this.#batch = [];
    const number = this.#given;
    this.#given += 1;
    const idlest = this.#threads.reduce((one, other) =>
      other.tasks.length < one.tasks.length ? other : one,
    );
    if (idlest.tasks.length < AHEAD) {
      idlest.tasks.push(number);
      const task: ThreadTask = { kind: "judge", cases: packed(cases) };
      idlest.worker.postMessage(task, columnsOf(task.cases));
    } else {
      this.#hear(
        number,
        cases.map((rows) => this.#judge.judge(rows)),
      );
    }
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

interface Thread {
  readonly worker: Worker;
  /** The numbers of the tasks that it was given and did not do yet. */
  readonly tasks: number[];
}

/** What is handed over instead of copied. */
function columnsOf(cases: PackedCases): ArrayBuffer[] {
  const { events, kinds, seconds, offsets, lines, lists, textLines } = cases;
  return [events, kinds, seconds, offsets, lines, lists, textLines].map(({ buffer }) => buffer);
}
