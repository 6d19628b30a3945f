import { Worker } from "node:worker_threads";
import type { CaseReport, RecordSummary } from "@limbwright/shared/replay";
import { Trouble } from "../../workspace/trouble.ts";
import type { RecordFile } from "./record-files.ts";
import type { ThreadData, ThreadMessage, ThreadTask } from "./thread.ts";

export interface Heard {
  readonly onCase: (file: RecordFile, report: CaseReport) => void;
  readonly onFile: (file: RecordFile, ended: RecordSummary | Trouble) => void;
  readonly onBytes: (count: number) => void;
}

/** Replays files in several threads; what they find is told in the order of the files, as one thread would. */
export async function replayInThreads(
  files: readonly RecordFile[],
  { script, count, data }: { readonly script: string; readonly count: number; readonly data: ThreadData },
  heard: Heard,
): Promise<void> {
  const inOrder = new InOrder(files, heard);
  const lanes = Array.from({ length: count }, () => lane(startThread(script, data), inOrder));
  await Promise.all(lanes);
}

export function startThread(script: string, data: ThreadData): Worker {
  return new Worker(script, { workerData: data, argv: ["replay"] });
}

/** Gives one thread file after file until there is none left. */
function lane(worker: Worker, inOrder: InOrder): Promise<void> {
  return new Promise((resolve, reject) => {
    let current = 0;
    const takeNext = () => {
      const next = inOrder.next();
      if (next) {
        current = next.number;
        worker.postMessage({ kind: "file", file: next.file } satisfies ThreadTask);
      } else void worker.terminate().then(() => resolve());
    };
    worker.on("error", reject);
    worker.on("message", (message: ThreadMessage) => {
      inOrder.hear(current, message);
      if (message.kind === "done" || message.kind === "trouble") takeNext();
    });
    takeNext();
  });
}

/** What is known of a file whose turn to be told has not come yet. */
interface Waiting {
  readonly reports: CaseReport[];
  ended?: RecordSummary | Trouble;
}

/** Files on their way through threads. */
class InOrder {
  readonly #files: readonly RecordFile[];
  readonly #heard: Heard;
  readonly #waiting = new Map<number, Waiting>();
  #given = 0;
  #told = 0;

  constructor(files: readonly RecordFile[], heard: Heard) {
    this.#files = files;
    this.#heard = heard;
  }

  /** The next file that no thread has. */
  next(): { readonly number: number; readonly file: RecordFile } | undefined {
    const number = this.#given;
    const file = this.#files[number];
    if (!file) return undefined;
    this.#given += 1;
    this.#waiting.set(number, { reports: [] });
    return { number, file };
  }

  hear(number: number, message: ThreadMessage): void {
    const waiting = this.#waiting.get(number);
    if (!waiting) return;
    switch (message.kind) {
      case "bytes":
        this.#heard.onBytes(message.count);
        return;
      case "cases":
        waiting.reports.push(...message.reports);
        break;
      case "done":
        waiting.ended = message.summary;
        break;
      case "trouble":
        waiting.ended = new Trouble(message.trouble);
    }
    this.#tell();
  }

  /** Tells what is known of the file whose turn it is, and of those after it as far as they are through. */
  #tell(): void {
    for (let file = this.#files[this.#told]; file; file = this.#files[this.#told]) {
      const waiting = this.#waiting.get(this.#told);
      for (const report of waiting?.reports.splice(0) ?? []) this.#heard.onCase(file, report);
      if (!waiting?.ended) return;
      this.#heard.onFile(file, waiting.ended);
      this.#waiting.delete(this.#told);
      this.#told += 1;
    }
  }
}
