import { CAUTION } from "@limbwright/shared/text";
import { judgeAllIn } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import type { Protocol } from "../../model/index.ts";
import { type Refused, refusalOf } from "../../rule-file/compile.ts";
import { boxOf, type JudgeOptions } from "../../rules/engine/judge.ts";
import { drawingUpIn } from "../../rules/facts/syringes.ts";
import { COLUMNS, type TableRow } from "./columns.ts";
import { doseRows, pressureRows } from "./rows.ts";

export interface DoseTableOptions extends JudgeOptions {
  /** Writes the table, marked as a draft, although unsafe findings stand. */
  readonly draft?: boolean;
}

export type DoseTableResult =
  | {
      readonly kind: "written";
      readonly protocol: string;
      readonly table: DoseTable;
      /** The same as CSV (RFC 4180). */
      readonly csv: string;
    }
  | Refused;

/**
 * The dose table of every protocol of a file. Undefined when there is no such file.
 */
export function doseTablesOf(
  site: Site,
  file: string,
  options: DoseTableOptions,
): DoseTableResult[] | undefined {
  const draft = options.draft ?? false;
  return judgeAllIn(site, file, options)?.map((judged) => {
    const refusal = refusalOf(judged, draft);
    if (refusal) return refusal;
    const { protocol } = judged.judgement;
    const table = tableOf(protocol, { draft });
    if (table) return { kind: "written", protocol: protocol.name, table, csv: tableText(table) };
    return withoutTable(protocol.name);
  });
}

/** Nothing is written that holds the dose table of a protocol that has none. */
export function withoutTable(protocol: string): Refused {
  const because = `\`${protocol}\` has no table: it covers patients without limits, or too many rows.`;
  return { kind: "refused", protocol, because, findings: [], open: [] };
}

/** How a table is written. */
export interface TableOptions {
  readonly draft: boolean;
}

/** The dose table of a protocol, in texts as they are printed. */
export interface DoseTable {
  /** The protocol, whether it is a draft, how to read between the rows, and the caution. */
  readonly note: string;
  /** The headings, with their units. */
  readonly columns: readonly string[];
  /** A text for each column; empty where it says nothing about the row. */
  readonly rows: readonly (readonly string[])[];
}

/**
 * The dose table of a protocol: a row for each dose and kilogram, those of emergencies included, and for each
 * systolic pressure. Columns that say nothing are left out. Undefined where weights or pressures are without
 * limits, or too many.
 */
export function tableOf(protocol: Protocol, { draft }: TableOptions): DoseTable | undefined {
  const rows = rowsOf(protocol);
  if (!rows) return undefined;
  const columns = Object.values(COLUMNS)
    .map(({ heading, text }) => ({ heading, texts: rows.map(text) }))
    .filter(({ texts }) => texts.some((text) => text !== ""));
  // A mark at the end of a draft alone would be overlooked, and is cut off with the rows that are copied.
  const marks = draft ? [{ heading: "Standing", texts: rows.map(() => DRAFT) }] : [];
  return {
    note: headText(protocol, draft),
    columns: [...marks, ...columns].map(({ heading }) => heading),
    rows: rows.map((_, index) => [...marks, ...columns].map(({ texts }) => texts[index] ?? "")),
  };
}

/** A table as CSV: the headings in its first row, where programs look for them, then the rows, and the note as a comment at the end. */
export function tableText({ note, columns, rows }: DoseTable): string {
  return csvText([columns, ...rows, [COMMENT, note]]);
}

/** The rows of a protocol, doses first; undefined where weights or pressures are without limits, or too many. */
export function rowsOf(protocol: Protocol): TableRow[] | undefined {
  const box = boxOf(protocol);
  const rows: TableRow[] = [];
  const by = drawingUpIn(protocol);
  for (const dose of protocol.doses) {
    const ofDose = doseRows(dose, box, by);
    if (!ofDose) return undefined;
    for (const row of ofDose) rows.push({ protocol, kind: "dose", row });
  }
  const pressures = protocol.cuffs ? pressureRows(protocol.cuffs, box) : [];
  if (!pressures) return undefined;
  for (const row of pressures) rows.push({ protocol, kind: "pressure", row });
  return rows;
}

/** How to read between the rows. */
export const BETWEEN_ROWS =
  "Between two rows of a dose the one that gives less counts, between two pressures the higher one.";

const DRAFT = "DRAFT, not for use";

function headText({ name, version, hospital, status }: Protocol, draft: boolean): string {
  const title = [name, version?.value, hospital?.value].filter(Boolean).join(", ");
  const standing = status?.value.kind === "approved" ? "" : ` Status: ${status?.value.kind ?? "unknown"}.`;
  const mark = draft ? ` ${DRAFT}.` : standing;
  return `${title}.${mark} ${BETWEEN_ROWS} ${CAUTION}`;
}

/**
 * Records as CSV (RFC 4180): CRLF line ends, every record with as many fields as the first, a field in quotes
 * where it holds a comma, a quote or a line end. A field that a spreadsheet would run as a formula gets a
 * space before it.
 */
function csvText(records: readonly (readonly string[])[]): string {
  const width = Math.max(0, ...records.map((record) => record.length));
  return records.map((record) => `${padRecord(record, width).map(field).join(",")}\r\n`).join("");
}

function padRecord(record: readonly string[], width: number): string[] {
  return Array.from({ length: width }, (_, index) => record[index] ?? "");
}

function field(text: string): string {
  const safe = /^[=+\-@\t\r]/.test(text) ? ` ${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** What the record of a comment begins with. */
const COMMENT = "#";
