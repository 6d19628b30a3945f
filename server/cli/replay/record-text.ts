import type { RowReader } from "@limbwright/shared/replay";
import Papa from "papaparse";

/** A line longer than this, in bytes, is no row of a case record. */
const LONGEST_LINE = 1_000_000;
const NEWLINE = 10;
const RETURN = 13;
const BYTE_ORDER_MARK = Buffer.from("\ufeff");

/**
 * Reads a case record, CSV or JSON lines, piece by piece, and gives its rows to a reader. It holds one piece at a time. A row is a
 * line, so that a line that cannot be read spoils no other.
 */
export class RecordText {
  readonly #rows: RecordRows;
  #carried: Buffer = Buffer.alloc(0);
  /** Whether the line that is being read is too long: the rest of it is dropped. */
  #isTooLong = false;

  constructor(reader: RowReader) {
    this.#rows = new RecordRows(reader);
  }

  /** The next bytes; they are not kept. */
  take(bytes: Uint8Array): void {
    const given = this.#isTooLong ? this.#afterLongLine(bytes) : bytes;
    const { buffer, byteOffset, length } = given;
    const all =
      this.#carried.length > 0
        ? Buffer.concat([this.#carried, given])
        : Buffer.from(buffer, byteOffset, length);
    const end = all.lastIndexOf(NEWLINE) + 1;
    if (end > 0) this.#rows.lines(all.subarray(0, end));
    this.#carried = Buffer.from(all.subarray(end));
    if (this.#carried.length <= LONGEST_LINE) return;
    this.#rows.tooLong();
    this.#carried = Buffer.alloc(0);
    this.#isTooLong = true;
  }

  /** No more bytes come. */
  end(): void {
    if (this.#carried.length > 0) this.#rows.last(this.#carried);
  }

  #afterLongLine(bytes: Uint8Array): Uint8Array {
    const end = bytes.indexOf(NEWLINE);
    this.#isTooLong = end < 0;
    return bytes.subarray(end < 0 ? bytes.length : end + 1);
  }
}

const PARSER = new Papa.Parser({ delimiter: ",", newline: "\n" });

/** The fields of a row of CSV; undefined where something in it is no CSV. A row without a quote is what stands between its commas. */
function fieldsOf(row: string): string[] | undefined {
  if (!row.includes('"')) return row.split(",");
  const { data, errors } = PARSER.parse(row, 0, false) as { data: string[][]; errors: readonly unknown[] };
  return errors.length === 0 && data.length === 1 ? data[0] : undefined;
}

class RecordRows {
  readonly #reader: RowReader;
  #isJson: boolean | undefined;
  #line = 1;

  constructor(reader: RowReader) {
    this.#reader = reader;
  }

  /** Whole lines, one by one, so that an open quote ends with its line. */
  lines(given: Buffer): void {
    const bytes = this.#plain(given);
    for (let at = 0; at < bytes.length; this.#line += 1) {
      const end = bytes.indexOf(NEWLINE, at);
      this.#one(bytes.toString("utf8", at, end), false);
      at = end + 1;
    }
  }

  /** What stands behind the last end of a line. */
  last(given: Buffer): void {
    this.#one(this.#plain(given).toString("utf8"), true);
  }

  tooLong(): void {
    this.#reader.noteUnread("broken-row", this.#line);
    this.#line += 1;
  }

  /** With one kind of line end, and known to be one format. */
  #plain(given: Buffer): Buffer {
    const marked =
      this.#line === 1 && BYTE_ORDER_MARK.equals(given.subarray(0, 3)) ? given.subarray(3) : given;
    const bytes = marked.includes(RETURN)
      ? Buffer.from(marked.toString("latin1").replace(/\r\n?/g, "\n"), "latin1")
      : marked;
    if (this.#isJson === undefined) {
      const text = bytes.toString("utf8").trimStart();
      if (text !== "") this.#isJson = text.startsWith("{");
    }
    return bytes;
  }

  #one(text: string, isLast: boolean): void {
    if (this.#isJson) this.#object(text, this.#line, isLast);
    else this.#row(text, this.#line, isLast);
  }

  #row(text: string, line: number, isLast: boolean): void {
    if (text === "") return;
    const fields = text.includes("\ufffd") ? undefined : fieldsOf(text);
    const kind = isLast ? "cut-off-row" : text.includes("\ufffd") ? "not-utf-8" : "broken-row";
    if (fields) this.#reader.takeFields(fields, line, isLast);
    else this.#reader.noteUnread(kind, line, text.slice(0, text.indexOf(",")));
  }

  #object(text: string, line: number, isLast: boolean): void {
    if (text.trim() === "") return;
    const row = text.includes("\ufffd") ? "not-utf-8" : objectOf(text);
    if (typeof row === "object") this.#reader.takeObject(row, line, isLast);
    else
      this.#reader.noteUnread(isLast ? "cut-off-row" : row, line, /"case"\s*:\s*"([^"\\]*)"/.exec(text)?.[1]);
  }
}

function objectOf(text: string): Record<string, unknown> | "broken-row" {
  try {
    const value: unknown = JSON.parse(text);
    const isObject = typeof value === "object" && value !== null && !Array.isArray(value);
    return isObject ? (value as Record<string, unknown>) : "broken-row";
  } catch {
    return "broken-row";
  }
}
