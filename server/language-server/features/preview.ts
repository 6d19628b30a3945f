import { envelopeText, patientFigures, textFindingsBefore } from "@limbwright/language";
import { CAUTION, messageLines } from "@limbwright/language/editor";
import {
  PREVIEW,
  type PreviewAsked,
  type PreviewFinding,
  type PreviewModel,
  type PreviewPatient,
} from "@limbwright/shared/editor";
import { type Finding, placeOf, SEVERITIES } from "@limbwright/shared/finding";
import type { Checker } from "../checking/checker.ts";
import type { StateAtProtocol } from "../checking/proof-states.ts";
import { rangeOf } from "../places.ts";
import { type AskedText, atPlace, type Service } from "../service.ts";
import { curvesIn, type Previewed, PreviewSheets, runIdOf, runsIn } from "./preview-pictures.ts";

/** What a preview shows of the protocol under the cursor, or of the first one. Nothing is judged for it. */
export function answerPreview(service: Service): void {
  const sheets = new PreviewSheets();
  service.connection.onRequest(
    PREVIEW,
    atPlace(service, ({ offset, ...asked }, params: PreviewAsked): PreviewModel | null => {
      const states = service.checker.statesOf(asked);
      const started = states.filter(({ judged }) => judged.nameOrigin.start.offset <= offset);
      const state = started.at(-1) ?? states[0];
      return state ? modelOf(service, asked, state, params, sheets) : null;
    }),
  );
}

function modelOf(
  { checker }: Service,
  asked: AskedText,
  { judged, protocol: name, state, words }: StateAtProtocol,
  params: PreviewAsked,
  sheets: PreviewSheets,
): PreviewModel {
  const { site, file, document } = asked;
  const read = site.file(file);
  const { offset } = judged.nameOrigin.start;
  const named = (read?.protocols ?? []).filter((one) => one.name === name);
  const protocol = named.find(({ nameOrigin }) => nameOrigin.start.offset === offset) ?? named[0];
  const isStale = state === "stale";
  const findings = byWeight(findingsFor(checker, asked, judged));
  const timesSay = isStale ? undefined : wordsOfTimes(judged);
  const subject: Previewed = { site, protocol, judged, findings, isStale, on: checker.day };
  return {
    uri: document.uri,
    protocol: name,
    ...(protocol?.title !== undefined && { title: protocol.title }),
    range: rangeOf(protocol?.origin ?? judged.nameOrigin),
    state,
    words,
    file,
    files: Object.fromEntries([file, ...(read?.uses ?? [])].map((one) => [one, asked.folder.uriOf(one)])),
    findings: findings.map(findingOf),
    verdicts: judged.verdicts,
    ...(timesSay !== undefined && { timesSay }),
    runs: runsIn(subject),
    curves: curvesIn(subject),
    sheet: sheets.of(subject),
    patient: patientOf(subject, params),
    caution: CAUTION,
  };
}

/** Between which times the runs lie, and whose work has to be done in time for it. */
function wordsOfTimes({ envelope, leansOn }: StateAtProtocol["judged"]): string | undefined {
  const said = [envelopeText(envelope), ...leansOn.map((text) => `Leans on: ${text}.`)];
  return said.filter((text) => text !== undefined).join(" ") || undefined;
}

/** What was found in the text of a protocol, about it in the files that it uses, and the errors in these: no rule holds then. */
function findingsFor(
  checker: Checker,
  { folder, file, site }: AskedText,
  { name, findings }: StateAtProtocol["judged"],
): Finding[] {
  const own = checker.findingsOf({ folder, file });
  const about = own.filter(({ protocol }) => protocol === undefined || protocol === name);
  const elsewhere = findings.filter(({ origin }) => origin.file !== file);
  const read = site.file(file);
  const inTheText = read ? textFindingsBefore(site, read) : [];
  const errors = inTheText.filter(({ severity, origin }) => severity === "error" && origin.file !== file);
  const known = new Map<string, Finding>();
  for (const finding of [...about, ...elsewhere, ...errors]) {
    const { rule, origin } = finding;
    const key = `${rule} ${origin.file} ${origin.start.offset} ${finding.what}`;
    if (!known.has(key)) known.set(key, finding);
  }
  return [...known.values()];
}

/** The worst first; among equals, in the order they were in. */
function byWeight(findings: readonly Finding[]): Finding[] {
  return SEVERITIES.flatMap((severity) => findings.filter((finding) => finding.severity === severity));
}

function findingOf(finding: Finding, at: number): PreviewFinding {
  const { severity, rule, origin, related, run, accepted, stale = false } = finding;
  return {
    severity,
    rule,
    says: messageLines(finding),
    place: placeOf(origin),
    related: related.map(({ origin: place, note }) => ({ place: placeOf(place), note })),
    ...(run && { run: runIdOf(at) }),
    isAccepted: accepted !== undefined,
    isStale: stale,
  };
}

function patientOf({ protocol }: Previewed, { patient = {} }: PreviewAsked): PreviewPatient {
  if (!protocol) return { measures: [], amiss: "No figures: the protocol was not understood.", rows: [] };
  const { rows, ...figures } = patientFigures(protocol, patient);
  return { ...figures, rows: rows.map(({ origin, ...row }) => ({ ...row, place: placeOf(origin) })) };
}
