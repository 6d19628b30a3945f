import type { Quantity } from "@limbwright/shared/quantity";
import { type DoseTableOptions, graduationOf, withoutTable } from "./dose-table.ts";
import { judgedIn } from "./judged.ts";
import type { Site } from "./lower/site.ts";
import {
  type Judged,
  meaningOfProtocol,
  type Refused,
  refusalOf,
  refusedAsPartial,
} from "./outputs/rule-file/compile.ts";
import { sheetOf } from "./outputs/sheet/build-sheet.ts";
import { sheetPage } from "./outputs/sheet/page.ts";
import type { Sheet } from "./outputs/sheet/sheet.ts";

export type SheetResult =
  | {
      readonly kind: "written";
      readonly protocol: string;
      readonly sheet: Sheet;
      /** The same as one page of HTML that needs nothing else. */
      readonly html: string;
    }
  | Refused;

/**
 * The bedside sheet of every protocol of a file, in the order of the text. Undefined when there is no such file. Refused as
 * a rule file is: while an error stands, or, unless it is to be a draft, an unsafe finding that nobody has accepted. Throws
 * a RangeError when the graduation is not over zero.
 */
export function sheetsOf(site: Site, file: string, options: DoseTableOptions): SheetResult[] | undefined {
  const graduation = graduationOf(options);
  return judgedIn(site, file, options)?.map((judged) => sheetFor(judged, { ...options, graduation }));
}

function sheetFor(
  judged: Judged,
  options: Omit<DoseTableOptions, "graduation"> & { readonly graduation: Quantity },
): SheetResult {
  const draft = options.draft ?? false;
  const refusal = refusalOf(judged, draft);
  if (refusal) return refusal;
  const { protocol } = judged.judgement;
  const meaning = meaningOfProtocol(protocol);
  if (meaning === undefined) return refusedAsPartial(judged);
  const { on, graduation } = options;
  const sheet = sheetOf(judged, { on, draft, graduation, meaning });
  if (sheet) return { kind: "written", protocol: protocol.name, sheet, html: sheetPage(sheet) };
  return withoutTable(protocol.name);
}
