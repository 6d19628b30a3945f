import { parentPort, workerData } from "node:worker_threads";
import {
  type CaseJudge,
  type CaseReport,
  type CaseRows,
  type JudgeOptions,
  type PackedCases,
  type RecordSummary,
  unpacked,
} from "@limbwright/shared/replay";
import { Trouble } from "../../workspace/trouble.ts";
import type { RecordFile } from "./record-files.ts";
import { judgeBy, replayFile } from "./replay-file.ts";

/** What a thread is given once. */
export interface ThreadData {
  readonly ruleFile: string;
  readonly name: string;
  readonly options: JudgeOptions;
}

/** What a thread is to do: replay a whole file, or judge cases that were read elsewhere. */
export type ThreadTask =
  | { readonly kind: "file"; readonly file: RecordFile }
  | { readonly kind: "judge"; readonly cases: PackedCases };

/** What a thread says of what it was given. */
export type ThreadMessage =
  | { readonly kind: "cases"; readonly reports: readonly CaseReport[] }
  | { readonly kind: "bytes"; readonly count: number }
  | { readonly kind: "done"; readonly summary: RecordSummary }
  | { readonly kind: "trouble"; readonly trouble: ReturnType<Trouble["toUnread"]> };

/** So many cases are told at once. */
const AT_ONCE = 500;

/** Does what the main thread says, one task after another. */
export function replayAsTold(): void {
  const port = parentPort;
  if (!port) return;
  const { ruleFile, name, options } = workerData as ThreadData;
  const judge = judgeBy(ruleFile, name, options);
  const say = (message: ThreadMessage) => port.postMessage(message);
  port.on("message", (task: ThreadTask) => {
    if (task.kind === "file") void replayWhole(judge, task.file, say);
    else say({ kind: "cases", reports: unpacked(task.cases, judge.events).map((rows) => judge.judge(rows)) });
  });
}

async function replayWhole(
  judge: CaseJudge,
  file: RecordFile,
  say: (message: ThreadMessage) => void,
): Promise<void> {
  let reports: CaseReport[] = [];
  const tell = () => {
    if (reports.length > 0) say({ kind: "cases", reports });
    reports = [];
  };
  const take = (rows: CaseRows) => {
    reports.push(judge.judge(rows));
    if (reports.length >= AT_ONCE) tell();
  };
  try {
    const onBytes = (count: number) => say({ kind: "bytes", count });
    const summary = await replayFile({ events: judge.events, take }, file, { onBytes });
    tell();
    say({ kind: "done", summary });
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    tell();
    say({ kind: "trouble", trouble: error.toUnread() });
  }
}
