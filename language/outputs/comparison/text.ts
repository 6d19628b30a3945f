import type { RunEvidence } from "@limbwright/shared/finding";
import { CAUTION, plainCharacters } from "@limbwright/shared/text";
import type { Change, ChangedSide, ChangeEvidence, ChangeKind } from "../../compare/change.ts";
import type { ComparedTime, ComparedVersion, ProtocolComparison } from "../../compare/comparison.ts";
import type { Paint } from "../findings/paint.ts";
import { runLines } from "../findings/run-lines.ts";
import { paintOf, paragraph, type TextOptions } from "../findings/text-finding.ts";
import { counted, placeText } from "../findings/words.ts";
import { wrap } from "../findings/wrap.ts";
import type { ComparisonReport } from "./report.ts";
import {
  byKind,
  conclusionText,
  fileOfRun,
  KIND_WORDS,
  MOMENT_HEADING,
  notComparedText,
  patientsText,
  RUN_HEADINGS,
  raiseText,
  TIME_WORDS,
  versionText,
} from "./words.ts";

/** How a comparison is laid out; `verbose` tells runs line by line and shows times that are the same. */
export type ComparisonTextOptions = Omit<TextOptions, "textOf">;

/** A comparison for a reader at a terminal: each protocol that is not the same, then what the whole came to. */
export function comparisonText(report: ComparisonReport, options: ComparisonTextOptions): string {
  const layout: TextOptions = { ...options, textOf: () => undefined };
  const { protocols, notCompared } = report.comparison;
  const shown = protocols.filter(({ outcome }) => outcome !== "nothing" || protocols.length === 1);
  const parts = [
    headLines(report, layout),
    ...shown.map((one) => protocolLines(one, layout)),
    sameLines(
      protocols.filter((one) => !shown.includes(one)).map(({ protocol }) => protocol),
      layout,
    ),
    listed("Not compared, so nothing is said of it:", notCompared.map(notComparedText), layout),
    paragraph("", CAUTION, layout, ""),
  ];
  return `${parts
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`;
}

function headLines({ before, now, on, comparison }: ComparisonReport, layout: TextOptions): string[] {
  const count = counted(comparison.protocols.length, "protocol");
  return paragraph("", `Compared ${before} with ${now}: ${count}, dates judged on ${on}.`, layout, "");
}

function protocolLines(comparison: ProtocolComparison, layout: TextOptions): string[] {
  const { protocol, before, now, changes, times, notCompared } = comparison;
  const title = (now ?? before)?.title;
  const paint = paintOf(layout);
  const heading = title === undefined ? protocol : `${protocol} "${title}"`;
  const raise = raiseText(comparison);
  return [
    ...paragraph("", heading, layout, "").map(paint.strong),
    ...(before ? versionLines("Before", before, layout) : []),
    ...(now ? versionLines("Now", now, layout) : []),
    ...paragraph("", conclusionText(comparison), layout),
    ...(raise === undefined ? [] : paragraph("", raise, layout)),
    ...byKind(changes).flatMap((kind) =>
      kind.changes.flatMap((change) => ["", ...changeLines(change, layout)]),
    ),
    ...spaced(timeLines(times, layout)),
    ...spaced(
      listed("Not compared, so nothing is said of it:", notCompared.map(notComparedText), layout, "  "),
    ),
  ];
}

function versionLines(side: string, version: ComparedVersion, layout: TextOptions): string[] {
  const says = `${version.name} ${versionText(version)}`;
  const lines = wrap(plainCharacters(says), layout.width, `  ${`${side}:`.padEnd(8)}`);
  return [...lines.slice(0, -1), ...atRightEdge(lines.at(-1) ?? "", placeText(version.origin), layout)];
}

/** A line with a place at the right edge; below it where both do not fit. */
function atRightEdge(said: string, place: string, layout: TextOptions): string[] {
  const [shown, shownPlace] = [plainCharacters(said), plainCharacters(place)];
  const gap = layout.width - shown.length - shownPlace.length;
  const { faint } = paintOf(layout);
  return gap >= 2 ? [`${shown}${" ".repeat(gap)}${faint(shownPlace)}`] : [shown, `    ${faint(shownPlace)}`];
}

function changeLines(change: Change, layout: TextOptions): string[] {
  const { kind, about, what, before, now, evidence, notDecided } = change;
  const mark = markOf(kind, paintOf(layout));
  const word = KIND_WORDS[kind];
  const named = notDecided === undefined ? word : `${word}, not decided`;
  return [
    `${mark(named)}  ${plainCharacters(about)}`,
    ...paragraph("", what, layout),
    ...(before ? sideLines("Before: ", before, layout) : []),
    ...(now ? sideLines("Now:    ", now, layout) : []),
    ...evidence.flatMap((one) => evidenceLines(one, change, layout)),
    ...(notDecided === undefined ? [] : paragraph("Not decided: ", `${notDecided}.`, layout)),
  ];
}

/** The looks of severities, by how much a change needs to be looked at. */
function markOf(kind: ChangeKind, paint: Paint): (text: string) => string {
  if (kind === "looser") return (text) => paint.severity("unsafe", text);
  if (kind === "different" || kind === "needs-a-reader") return (text) => paint.severity("doubtful", text);
  return kind === "tighter" ? (text) => paint.severity("advice", text) : paint.faint;
}

/** What one version says, with its place at the right edge of the last line where there is room. */
function sideLines(heading: string, { says, origin }: ChangedSide, layout: TextOptions): string[] {
  const lines = wrap(plainCharacters(says), layout.width, `  ${heading}`);
  return [...lines.slice(0, -1), ...atRightEdge(lines.at(-1) ?? "", placeText(origin), layout)];
}

function evidenceLines(evidence: ChangeEvidence, change: Change, layout: TextOptions): string[] {
  if (evidence.kind === "patients") return paragraph("Patients: ", patientsText(evidence), layout);
  const shown = (run: RunEvidence, heading: string) =>
    runLines(run, fileOfRun({ ...evidence, run }, change), { ...layout, paint: paintOf(layout), heading });
  if (evidence.kind === "value") {
    const { says, run } = evidence;
    return [...paragraph("", says, layout), ...(run ? shown(run, MOMENT_HEADING) : [])];
  }
  const { side, run, other } = evidence;
  return [...shown(run, RUN_HEADINGS[side]), ...paragraph("", other, layout, "    ")];
}

/** A table of the times that are otherwise; of all times where everything is to be told. */
function timeLines(times: readonly ComparedTime[], layout: TextOptions): string[] {
  const shown = layout.verbose ? times : times.filter(({ kind }) => kind !== "same");
  if (shown.length === 0) return [];
  const rows: TimeRow[] = [
    ["Over all runs", "before", "now", ""],
    ...shown.map(({ what, before, now, kind }): TimeRow => [what, before, now, TIME_WORDS[kind]]),
  ];
  const plain = rows.map((row) => row.map(plainCharacters) as unknown as TimeRow);
  const longest = (column: 0 | 1 | 2 | 3) => Math.max(...plain.map((row) => row[column].length));
  const rest = longest(1) + longest(2) + longest(3) + 3 * TIME_GAP.length + 2;
  const first = Math.min(longest(0), Math.max(layout.width - rest, 12));
  return plain.flatMap(([what, before, now, kind]) => {
    const [start = "", ...more] = wrap(what, first);
    const cells = [start.padEnd(first), before.padStart(longest(1)), now.padStart(longest(2)), kind];
    return [cells.join(TIME_GAP).trimEnd(), ...more].map((line) => `  ${line}`);
  });
}

type TimeRow = readonly [string, string, string, string];

const TIME_GAP = "   ";

function sameLines(names: readonly string[], layout: TextOptions): string[] {
  if (names.length === 0) return [];
  return paragraph(
    "",
    `No change in ${counted(names.length, "protocol")}, compared in everything: ${names.join(", ")}.`,
    layout,
    "",
  );
}

function listed(heading: string, texts: readonly string[], layout: TextOptions, indent = ""): string[] {
  if (texts.length === 0) return [];
  return [`${indent}${heading}`, ...texts.flatMap((text) => paragraph("- ", `${text}.`, layout, indent))];
}

function spaced(lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ["", ...lines];
}
