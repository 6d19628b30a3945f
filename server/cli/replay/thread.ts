import { parentPort, workerData } from "node:worker_threads";
import type { CaseReport, JudgeOptions, RecordSummary } from "@limbwright/shared/replay";
import { Trouble } from "../../workspace/trouble.ts";
import type { RecordFile } from "./record-files.ts";
import { judgeBy, replayFile } from "./replay-file.ts";

/** What a thread is given once. */
export interface ThreadData {
  readonly ruleFile: string;
  readonly name: string;
  readonly options: JudgeOptions;
}

/** What a thread says of the file it was given. */
export type ThreadMessage =
  | { readonly kind: "cases"; readonly reports: readonly CaseReport[] }
  | { readonly kind: "bytes"; readonly count: number }
  | { readonly kind: "done"; readonly summary: RecordSummary }
  | { readonly kind: "trouble"; readonly trouble: ReturnType<Trouble["toUnread"]> };

/** So many cases are told at once. */
const AT_ONCE = 500;

/** Replays the files that the main thread names, one after another. */
export function replayAsTold(): void {
  const port = parentPort;
  if (!port) return;
  const { ruleFile, name, options } = workerData as ThreadData;
  const judge = judgeBy(ruleFile, name, options);
  const say = (message: ThreadMessage) => port.postMessage(message);
  port.on("message", (file: RecordFile) => {
    let reports: CaseReport[] = [];
    const tell = () => {
      if (reports.length > 0) say({ kind: "cases", reports });
      reports = [];
    };
    try {
      const summary = replayFile(judge, file, {
        onCase: (report) => {
          reports.push(report);
          if (reports.length >= AT_ONCE) tell();
        },
        onBytes: (count) => say({ kind: "bytes", count }),
      });
      tell();
      say({ kind: "done", summary });
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      tell();
      say({ kind: "trouble", trouble: error.toUnread() });
    }
  });
}
