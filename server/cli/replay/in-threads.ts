import { Worker } from "node:worker_threads";
import type { CaseReport, RecordSummary } from "@limbwright/shared/replay";
import { Trouble } from "../../workspace/trouble.ts";
import type { RecordFile } from "./record-files.ts";
import type { ThreadData, ThreadMessage } from "./thread.ts";

export interface Heard {
  readonly onCase: (file: RecordFile, report: CaseReport) => void;
  readonly onFile: (file: RecordFile, ended: RecordSummary | Trouble) => void;
  readonly onBytes: (count: number) => void;
}

/** What is known of a file whose turn to be told has not come yet. */
interface Waiting {
  readonly reports: CaseReport[];
  ended?: RecordSummary | Trouble;
}

/** Replays files in several threads; what they find is told in the order of the files, as one thread would. */
export async function replayInThreads(
  files: readonly RecordFile[],
  { script, count, data }: { readonly script: string; readonly count: number; readonly data: ThreadData },
  heard: Heard,
): Promise<void> {
  const waiting = new Map<number, Waiting>();
  let told = 0;
  let next = 0;
  const tell = () => {
    for (let file = files[told]; file; file = files[told]) {
      const known = waiting.get(told);
      for (const report of known?.reports.splice(0) ?? []) heard.onCase(file, report);
      if (!known?.ended) return;
      heard.onFile(file, known.ended);
      waiting.delete(told);
      told += 1;
    }
  };
  await Promise.all(Array.from({ length: count }, () => work()));

  function work(): Promise<void> {
    return new Promise((resolve, reject) => {
      const worker = new Worker(script, { workerData: data, argv: ["replay"] });
      let current = -1;
      const takeNext = () => {
        const file = files[next];
        if (!file) {
          void worker.terminate().then(() => resolve());
          return;
        }
        current = next;
        next += 1;
        waiting.set(current, { reports: [] });
        worker.postMessage(file);
      };
      worker.on("error", reject);
      worker.on("message", (message: ThreadMessage) => {
        const known = waiting.get(current);
        if (message.kind === "bytes") heard.onBytes(message.count);
        if (message.kind === "cases") known?.reports.push(...message.reports);
        if (message.kind === "done" && known) known.ended = message.summary;
        if (message.kind === "trouble" && known) known.ended = new Trouble(message.trouble);
        tell();
        if (message.kind === "done" || message.kind === "trouble") takeNext();
      });
      takeNext();
    });
  }
}
