/**
 * Records as CSV (RFC 4180): CRLF line ends, every record with as many fields as the first, a field in quotes
 * where it holds a comma, a quote or a line end. A field that a spreadsheet would run as a formula gets a
 * space before it.
 */
export function csvText(records: readonly (readonly string[])[]): string {
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
