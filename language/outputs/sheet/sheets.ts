import { type JudgedProtocol, judgeAllIn, textFindingsBefore } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import type { Protocol } from "../../model/index.ts";
import { meaningOfProtocol, type Refused, refusalOf, refusedAsPartial } from "../../rule-file/compile.ts";
import { rulesThatHold } from "../../rules/engine/judge.ts";
import { releasesOf } from "../../rules/engine/over-runs.ts";
import { promiseText, wholeEnvelope } from "../../runs/index.ts";
import { type DoseTableOptions, withoutTable } from "../table/table.ts";
import { type SheetSubject, sheetOf } from "./build-sheet.ts";
import type { Sheet } from "./sheet.ts";

export type SheetResult =
  | { readonly kind: "written"; readonly protocol: string; readonly sheet: Sheet }
  | Refused;

/**
 * The bedside sheet of every protocol of a file, in the order of the text. Undefined when there is no such file. Refused as
 * a rule file is: while an error stands, or, unless it is to be a draft, an unsafe finding that nobody has accepted.
 */
export function sheetsOf(site: Site, file: string, options: DoseTableOptions): SheetResult[] | undefined {
  return judgeAllIn(site, file, options)?.map(({ judgement, inTheText }) => {
    const { explored, verdicts } = judgement;
    const envelope = wholeEnvelope(explored.runs);
    const leansOn = envelope ? explored.promisesOf(rulesThatHold(verdicts)).map(promiseText) : [];
    const releases = releasesOf(explored.runs);
    return sheetFor({ ...judgement, inTheText, envelope, leansOn, releases }, options);
  });
}

/**
 * The bedside sheet of a protocol that was judged before, with its runs, on the text as the site has it: nothing is judged
 * anew.
 */
export function sheetOfJudged(
  site: Site,
  protocol: Protocol,
  { findings, verdicts, notJudged, envelope, leansOn, releases = {} }: JudgedProtocol,
  options: DoseTableOptions,
): SheetResult {
  const read = site.file(protocol.origin.file);
  const inTheText = read ? textFindingsBefore(site, read) : [];
  const subject = { protocol, findings, verdicts, notJudged, inTheText, envelope, leansOn, releases };
  return sheetFor(subject, options);
}

function sheetFor(subject: SheetSubject, { on, draft = false }: DoseTableOptions): SheetResult {
  const { protocol, inTheText } = subject;
  const refusable = { judgement: subject, inTheText };
  const refusal = refusalOf(refusable, draft);
  if (refusal) return refusal;
  const meaning = meaningOfProtocol(protocol);
  if (meaning === undefined) return refusedAsPartial(refusable);
  const sheet = sheetOf(subject, { on, draft, meaning });
  return sheet ? { kind: "written", protocol: protocol.name, sheet } : withoutTable(protocol.name);
}
