/** Reads CSV as RFC 4180 defines it, strictly: any other text throws. */
export function readCsv(text: string): string[][] {
  const records: string[][] = [];
  let record: string[] = [];
  const FIELD = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/y;
  while (FIELD.lastIndex < text.length) {
    const at = FIELD.lastIndex;
    const found = FIELD.exec(text);
    if (!found) throw new Error(`not CSV from character ${at}: ${JSON.stringify(text.slice(at, at + 40))}`);
    record.push(found[1]?.replaceAll('""', '"') ?? found[2] ?? "");
    if (found[3] === ",") continue;
    records.push(record);
    record = [];
  }
  return records;
}
