import { type DoseTableOptions, type DoseTableResult, doseTablesOf, Site } from "@limbwright/language";
import { baseTexts, ON } from "../rule-file/compiled.ts";
import { readCsv } from "./read-csv.ts";

export type Options = Partial<DoseTableOptions>;

/** Changes of the base protocol: each first text, which must be there, becomes the second. */
export type Changes = Readonly<Record<string, string>>;

function textsWith(changes: Changes): Map<string, string> {
  let protocol = baseTexts().get("protocol.limb") ?? "";
  for (const [from, to] of Object.entries(changes)) {
    if (!protocol.includes(from)) throw new Error(`the base protocol has no "${from}"`);
    protocol = protocol.replace(from, to);
  }
  return baseTexts({ "protocol.limb": protocol });
}

function siteWith(changes: Changes): Site {
  const texts = textsWith(changes);
  return new Site((file) => texts.get(file));
}

export function resultOf(changes: Changes, options: Options = {}): DoseTableResult {
  const [result] = doseTablesOf(siteWith(changes), "protocol.limb", { on: ON, ...options }) ?? [];
  if (!result) throw new Error("no protocol");
  return result;
}

export function protocolWith(changes: Changes) {
  const [protocol] = siteWith(changes).file("protocol.limb")?.protocols ?? [];
  if (!protocol) throw new Error("no protocol");
  return protocol;
}

export type Row = Readonly<Record<string, string>>;

export function rowsOf(changes: Changes = {}, options: Options = {}): Row[] {
  const result = resultOf(changes, { draft: true, ...options });
  if (result.kind === "refused") throw new Error(result.because);
  const [headings = [], ...records] = readCsv(result.csv).filter(([first]) => first !== "#");
  return records.map((record) =>
    Object.fromEntries(headings.map((heading, index) => [heading, record[index] ?? ""])),
  );
}

/** The row of the dose `local` for a weight. */
export function local(rows: readonly Row[], weight: string): Row | undefined {
  return rows.find((row) => row.Dose === "local" && row["Weight (kg)"] === weight);
}

export const AMOUNT = "3 mg/kg up to 200 mg";
export const DRAWN = "Volume to draw up, down to a mark of the syringe (mL)";
