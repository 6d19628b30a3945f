import {
  CaseJudge,
  type CaseReport,
  type JudgeOptions,
  type RecordSummary,
  RowReader,
} from "@limbwright/shared/replay";
import { readRuleFile } from "@limbwright/shared/rule-file";
import { Trouble } from "../../workspace/trouble.ts";
import { caseNameOf, openRecord, type RecordFile } from "./record-files.ts";
import { RecordText } from "./record-text.ts";

/** A judge of cases by the text of a rule file. Throws `Trouble` where it is none, or says nothing of its runs. */
export function judgeBy(text: string, name: string, options: JudgeOptions): CaseJudge {
  const reading = readRuleFile(text);
  if (reading.kind === "refused") {
    const [fault] = reading.faults;
    throw new Trouble({ file: name, what: `${name} is no whole rule file. ${fault.what}`, next: fault.why });
  }
  const { runs } = reading.file;
  if (runs.kind === "explored") return new CaseJudge(reading.file, runs, options);
  throw new Trouble({
    file: name,
    what: `No case can be held against ${name}: its runs were not gone through (${runs.limit}).`,
    next: "`limb check` tells more.",
  });
}

export interface ReplayedWith {
  readonly onCase: (report: CaseReport) => void;
  /** So many more bytes were read. */
  readonly onBytes: (count: number) => void;
  /** The next bytes, where the file is standard input. */
  readonly input?: () => Uint8Array;
}

/** Replays one file, case by case. Throws `Trouble` where it cannot be read, or is no case record. */
export function replayFile(
  judge: CaseJudge,
  file: Pick<RecordFile, "path" | "name">,
  { onCase, onBytes, input }: ReplayedWith,
): RecordSummary {
  const reader = new RowReader(judge.events, {
    name: caseNameOf(file.name),
    onCase: (rows) => onCase(judge.judge(rows)),
  });
  const record = new RecordText(reader);
  const opened = input ? { read: input, close: () => {} } : openRecord(file);
  try {
    for (let bytes = opened.read(); bytes.length > 0; bytes = opened.read()) {
      onBytes(bytes.length);
      record.take(bytes);
    }
    record.end();
  } finally {
    opened.close();
  }
  const summary = reader.end();
  if (summary.rows > 0) return summary;
  throw new Trouble({
    file: file.name,
    what: `${file.name} is no case record: no line of it could be read as one.`,
    next: "A record is CSV with a header that has the columns time and event, or JSON lines.",
  });
}
