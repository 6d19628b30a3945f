import { type SheetResult, Site, sheetPage, sheetsOf } from "@limbwright/language";
import { ON } from "../rule-file/compiled.ts";
import { exampleTexts } from "../rule-file/example-site.ts";

/** A sheet, and the page that is printed of it. */
export type Written = Extract<SheetResult, { kind: "written" }> & { readonly html: string };

export interface SheetOf {
  readonly on?: string;
  readonly draft?: boolean;
  /** Changes of the file's text: each first text, which must be there, becomes the second. */
  readonly changes?: Readonly<Record<string, string>>;
}

/** The sheet of the protocol of an example, or why there is none; a worker writes each once. */
export function sheetFrom(file: string, options: SheetOf = {}): SheetResult {
  const asked = JSON.stringify([file, options]);
  const result = known.get(asked) ?? newSheetFrom(file, options);
  known.set(asked, result);
  return result;
}

const known = new Map<string, SheetResult>();

function newSheetFrom(file: string, { on = ON, draft = false, changes = {} }: SheetOf): SheetResult {
  const texts = exampleTexts();
  let text = texts.get(file) ?? "";
  for (const [from, to] of Object.entries(changes)) {
    if (!text.includes(from)) throw new Error(`${file} has no "${from}"`);
    text = text.replace(from, to);
  }
  texts.set(file, text);
  const [result] = sheetsOf(new Site((name) => texts.get(name)), file, { on, draft }) ?? [];
  if (!result) throw new Error(`${file} has no protocol`);
  return result;
}

export function writtenFrom(file: string, options: SheetOf = {}): Written {
  const result = sheetFrom(file, options);
  if (result.kind === "refused") throw new Error(result.because);
  return { ...result, html: sheetPage(result.sheet) };
}

export const WRIST = "protocols/wrist-reduction.limb";
