import type { CaseReport } from "@limbwright/shared/replay";
import type { AgainstFile } from "@limbwright/shared/runtime";
import { reportHead, type Unread } from "../findings/tally.ts";
import type { ReplayedFile, ReplayTally } from "./tally.ts";

/** The number of the form, raised by any change that a reader could notice. `replay.schema.json` describes it. */
const REPLAY_FORMAT = 2;

export interface ReplayJsonHead {
  readonly version: string;
  readonly protocol: { readonly name: string; readonly version: string; readonly meaning: string };
  readonly graceSeconds: number;
  /** What stands against following the protocol whatever the day; nothing where nothing does. */
  readonly against: readonly AgainstFile[];
  /** The day of the replay. */
  readonly on: string;
}

/** The report for other programs, in pieces, since there may be a million cases: before the first of them. */
export function replayJsonStart({ version, protocol, graceSeconds, against, on }: ReplayJsonHead): string {
  const head = {
    ...reportHead(REPLAY_FORMAT, version),
    protocol,
    options: { graceSeconds, on },
    against: against.map(plainReason),
  };
  return `${JSON.stringify(head, undefined, 2).slice(0, -2)},\n  "cases": [`;
}

/** One case, on a line of its own, with what stood against the protocol on its day. */
export function replayJsonCase(
  file: string,
  report: CaseReport,
  against: readonly AgainstFile[],
  isFirst: boolean,
): string {
  const told = { file, ...report, ...(against.length > 0 && { against: against.map(plainReason) }) };
  return `${isFirst ? "" : ","}\n    ${JSON.stringify(told)}`;
}

function plainReason({ kind, words }: AgainstFile): Pick<AgainstFile, "kind" | "words"> {
  return { kind, words };
}

/** What stands behind the last case. */
export function replayJsonEnd(
  tally: ReplayTally,
  files: readonly ReplayedFile[],
  unread: readonly Unread[],
): string {
  const { outcomes } = tally;
  const rest = {
    files: files.map(({ file, rows, notes, identifying, unread: others }) => ({
      file,
      rows,
      notes,
      identifyingDropped: identifying,
      notRead: others,
    })),
    unread,
    summary: {
      cases: tally.cases,
      events: tally.events,
      asWritten: outcomes["as-written"],
      deviates: outcomes.deviates,
      notJudged: outcomes["not-judged"],
      partlyJudged: tally.partlyJudged,
      against: tally.against,
      withoutDate: tally.withoutDate,
      byKind: Object.fromEntries([...tally.byKind].sort()),
      byRule: Object.fromEntries([...tally.byRule].sort()),
      byReason: Object.fromEntries([...tally.notJudged].sort()),
      rows: Object.fromEntries([...tally.notes].sort()),
    },
  };
  return `\n  ],\n${JSON.stringify(rest, undefined, 2).slice(2)}\n`;
}
