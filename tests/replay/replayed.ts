import { compileFile, Site } from "@limbwright/language";
import { CaseJudge, type CaseReport, type RecordSummary, RowReader } from "@limbwright/shared/replay";
import {
  chosenPlants,
  madeCase,
  type Planted,
  randomFrom,
} from "../../examples/tarn-hollow/cases/made-case.mjs";
import { csvRow, jsonRow, TIME_FORMATS, timeText } from "../../examples/tarn-hollow/cases/rows.mjs";
import { RecordText } from "../../server/cli/replay/record-text.ts";
import { textOf } from "../examples/site.ts";
import { fileFrom, ON } from "../language/rule-file/compiled.ts";

/** The rule file of a protocol of the example hospital, whose text may be changed before. */
export function ruleFileOf(protocol: string, changed = (text: string) => text): string {
  const path = `protocols/${protocol}.limb`;
  const site = new Site((file) => (file === path ? changed(textOf(file) ?? "") : textOf(file)));
  const [only] = compileFile(site, path, { on: ON, draft: true }) ?? [];
  if (only?.kind !== "written") throw new Error(`${protocol} is not compiled`);
  return only.text;
}

/** A judge by a protocol of the example hospital, whose text may be changed before. */
export function judgeOf(protocol: string, changed?: (text: string) => string): CaseJudge {
  const file = fileFrom(ruleFileOf(protocol, changed));
  if (file.runs.kind !== "explored") throw new Error(`${protocol} was not gone through`);
  return new CaseJudge(file, file.runs, { grace: 30 });
}

export interface Replayed {
  readonly cases: readonly CaseReport[];
  readonly summary: RecordSummary;
}

/** Replays the text of a record, given in pieces of so many bytes. */
export function replayed(
  judge: CaseJudge,
  text: string | Uint8Array,
  { piece = 1 << 16, mostHeld }: ReadOptions = {},
): Replayed {
  const cases: CaseReport[] = [];
  const reader = new RowReader(judge.events, {
    name: "the-case",
    onCase: (rows) => cases.push(judge.judge(rows)),
    ...(mostHeld !== undefined && { mostHeld }),
  });
  const record = new RecordText(reader);
  const bytes = Buffer.from(text);
  for (let at = 0; at < bytes.length; at += piece) record.take(bytes.subarray(at, at + piece));
  record.end();
  return { cases, summary: reader.end() };
}

interface ReadOptions {
  readonly piece?: number;
  readonly mostHeld?: number;
}

/** What a made record says, row by row, and what was planted in each of its cases. */
export interface Made {
  readonly header: string;
  readonly rows: readonly string[];
  readonly planted: ReadonlyMap<string, readonly Planted[]>;
}

export interface MadeOptions {
  readonly count: number;
  readonly seed: number;
  readonly share?: number;
  readonly json?: boolean;
  /** The format of all times; each case has one of its own if it is missing. */
  readonly times?: string;
  readonly from?: number;
}

export function madeRecord({ count, seed, share, json = false, times, from = 1 }: MadeOptions): Made {
  const random = randomFrom(seed);
  const rows: string[] = [];
  const planted = new Map<string, readonly Planted[]>();
  for (let number = from; number < from + count; number += 1) {
    const id = `TH-${number}`;
    const made = madeCase(random, chosenPlants(random, share));
    const format = times ?? TIME_FORMATS[number % TIME_FORMATS.length] ?? "seconds";
    planted.set(id, made.planted);
    for (const { time, event, value } of made.rows) {
      const row = { case: id, time: timeText(time, format, number), event, value };
      rows.push(json ? jsonRow(row) : csvRow(row));
    }
  }
  return { header: json ? "" : "case,time,event,value\n", rows, planted };
}

/** A case by its deviations, in an order of their own, without what tells of lines. */
export function judgement({ case: id, outcome, deviations, notJudged }: CaseReport) {
  const plain = deviations.map(({ line: _line, ledTo, ...rest }) => ({
    ...rest,
    ledTo: ledTo.map(({ line: _of, ...one }) => one),
  }));
  return { id, outcome, deviations: plain, notJudged: notJudged.map(({ because }) => because) };
}
