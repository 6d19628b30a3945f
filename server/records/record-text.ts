import type { RowReader } from "@limbwright/shared/replay";
import Papa from "papaparse";

/** A line longer than this, in bytes, is no row of a case record. */
const LONGEST_LINE = 1_000_000;
const NEWLINE = 10;

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
    if (end > 0) this.#rows.lines(all.toString("utf8", 0, end));
    this.#carried = Buffer.from(all.subarray(end));
    if (this.#carried.length <= LONGEST_LINE) return;
    this.#rows.tooLong();
    this.#carried = Buffer.alloc(0);
    this.#isTooLong = true;
  }

  /** No more bytes come. */
  end(): void {
    if (this.#carried.length > 0) this.#rows.last(this.#carried.toString("utf8"));
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

  /** Whole lines. */
  lines(given: string): void {
    const text = this.#plain(given);
    if (this.#isJson) this.#eachLine(text, (one, line) => this.#object(one, line, false));
    else this.#table(text);
  }

  /** What stands behind the last end of a line. */
  last(given: string): void {
    const text = this.#plain(given);
    const line = this.#line;
    if (this.#isJson) this.#object(text, line, true);
    else this.#row(text, line, true);
  }

  tooLong(): void {
    this.#reader.unreadable("broken-row", this.#line);
    this.#line += 1;
  }

  /** With one kind of line end, and known to be one format. */
  #plain(given: string): string {
    const marked = this.#line === 1 && given.startsWith("\ufeff") ? given.slice(1) : given;
    const text = marked.includes("\r") ? marked.replace(/\r\n?/g, "\n") : marked;
    if (this.#isJson === undefined && text.trim() !== "") this.#isJson = text.trimStart().startsWith("{");
    return text;
  }

  /** Row by row, so that an open quote ends with its line; most rows go on as other cases did, and are known by that. */
  #table(text: string): void {
    for (let at = 0; at < text.length; this.#line += 1) {
      const known = this.#reader.knownRow(text, at, this.#line);
      if (known > at) {
        at = known;
        continue;
      }
      const newline = text.indexOf("\n", at);
      const end = newline < 0 ? text.length : newline;
      this.#row(text.slice(at, end), this.#line, false);
      at = end + 1;
    }
  }

  #eachLine(text: string, take: (one: string, line: number) => void): void {
    const lines = text.split("\n");
    if (text.endsWith("\n")) lines.pop();
    for (const one of lines) {
      take(one, this.#line);
      this.#line += 1;
    }
  }

  #row(text: string, line: number, isLast: boolean): void {
    if (text === "") return;
    const fields = text.includes("\ufffd") ? undefined : fieldsOf(text);
    const kind = isLast ? "cut-off-row" : text.includes("\ufffd") ? "not-utf-8" : "broken-row";
    if (fields) this.#reader.fields(fields, line, isLast);
    else this.#reader.unreadable(kind, line, text.slice(0, text.indexOf(",")));
  }

  #object(text: string, line: number, isLast: boolean): void {
    if (text.trim() === "") return;
    const row = text.includes("\ufffd") ? "not-utf-8" : objectOf(text);
    if (typeof row === "object") this.#reader.object(row, line, isLast);
    else
      this.#reader.unreadable(isLast ? "cut-off-row" : row, line, /"case"\s*:\s*"([^"\\]*)"/.exec(text)?.[1]);
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
