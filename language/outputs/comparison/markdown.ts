import { CAUTION } from "@limbwright/shared/text";
import type { Change, ChangedSide, ChangeEvidence } from "../../compare/change.ts";
import type { ComparedTime, ComparedVersion, ProtocolComparison } from "../../compare/comparison.ts";
import { placeInRun } from "../findings/run-lines.ts";
import { toldLines } from "../findings/told-lines.ts";
import { counted, placeText } from "../findings/words.ts";
import { markdownCode, markdownSentence, markdownTable, markdownText } from "./markdown-text.ts";
import type { ComparisonReport } from "./report.ts";
import {
  byKind,
  capital,
  conclusionText,
  fileOfRun,
  KIND_MEANINGS,
  KIND_WORDS,
  MOMENT_HEADING,
  notComparedText,
  patientsText,
  RUN_HEADINGS,
  raiseText,
  TIME_WORDS,
  versionText,
} from "./words.ts";

/** A comparison as the comment of a merge request. Every text of a protocol reads as it stands there, never as Markdown. */
export function comparisonMarkdown({ before, now, on, comparison }: ComparisonReport): string {
  const { protocols, notCompared } = comparison;
  const shown = protocols.filter(({ outcome }) => outcome !== "nothing" || protocols.length === 1);
  const same = protocols.filter((one) => !shown.includes(one));
  const count = counted(protocols.length, "protocol");
  const blocks = [
    [`${markdownText(capital(before))} compared with ${markdownText(now)}: ${count}, dates judged on ${on}.`],
    ...shown.flatMap(protocolBlocks),
    same.length === 0
      ? []
      : [
          `No change in ${counted(same.length, "protocol")}, compared in everything: ${same.map(({ protocol }) => markdownCode(protocol)).join(", ")}.`,
        ],
    list("**Not compared, so nothing is said of it:**", notCompared.map(notComparedText)),
    [`*${markdownText(CAUTION)}*`],
  ];
  return `${blocks
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`;
}

function protocolBlocks(comparison: ProtocolComparison): string[][] {
  const { protocol, before, now, changes, times, notCompared } = comparison;
  const title = (now ?? before)?.title;
  const raise = raiseText(comparison);
  return [
    [`## ${markdownCode(protocol)}${title === undefined ? "" : ` ${markdownText(title)}`}`],
    versions(before, now),
    [
      `**${markdownSentence(conclusionText(comparison))}**${raise === undefined ? "" : ` ${markdownSentence(raise)}`}`,
    ],
    ...byKind(changes).flatMap((one) => [
      [`### ${capital(KIND_WORDS[one.kind])}`, "", KIND_MEANINGS[one.kind]],
      ...one.changes.flatMap(changeBlocks),
    ]),
    timesTable(times),
    list("**Not compared, so nothing is said of it:**", notCompared.map(notComparedText)),
  ];
}

function versions(before: ComparedVersion | undefined, now: ComparedVersion | undefined): string[] {
  const row = (side: string, version: ComparedVersion | undefined) =>
    version
      ? [
          [
            side,
            `${markdownCode(version.name)} ${markdownText(versionText(version))}`,
            markdownCode(placeText(version.origin)),
          ],
        ]
      : [];
  return markdownTable(["", "Version", "Where"], [...row("Before", before), ...row("Now", now)]);
}

function changeBlocks(change: Change): string[][] {
  const { about, what, before, now, evidence, notDecided } = change;
  return [
    [`#### ${markdownSentence(about)}`],
    [markdownSentence(what)],
    before || now ? sidesTable(before, now) : [],
    ...evidence.map((one) => evidenceBlock(one, change)),
    notDecided === undefined ? [] : [`**Not decided:** ${markdownSentence(notDecided)}.`],
  ];
}

function sidesTable(before: ChangedSide | undefined, now: ChangedSide | undefined): string[] {
  const row = (name: string, side: ChangedSide | undefined) =>
    side
      ? [name, markdownSentence(side.says), markdownCode(placeText(side.origin))]
      : [name, "nothing of it", ""];
  return markdownTable(["", "Says", "Where"], [row("Before", before), row("Now", now)]);
}

function evidenceBlock(evidence: ChangeEvidence, change: Change): string[] {
  if (evidence.kind === "patients") return [markdownSentence(patientsText(evidence))];
  if (evidence.kind === "value") {
    const { says, run } = evidence;
    return run
      ? runBlock(`${markdownSentence(says)} ${MOMENT_HEADING}:`, { ...evidence, run }, change)
      : [markdownSentence(says)];
  }
  const heading = `${RUN_HEADINGS[evidence.side]}. ${markdownSentence(evidence.other)}`;
  return runBlock(heading, evidence, change);
}

function runBlock(heading: string, evidence: Parameters<typeof fileOfRun>[0], change: Change): string[] {
  const file = fileOfRun(evidence, change);
  const rows = toldLines(evidence.run).map((line) =>
    [line.time, line.what, line.after, placeInRun(line.origins, file)].map(markdownText),
  );
  return [heading, "", ...markdownTable(["Time", "What happens", "What is so then", "Where"], rows)];
}

function timesTable(times: readonly ComparedTime[]): string[] {
  const shown = times.filter(({ kind }) => kind !== "same");
  if (shown.length === 0) return [];
  return markdownTable(
    ["Over all runs", "Before", "Now", ""],
    shown.map(({ what, before, now, kind }) => [...[what, before, now].map(markdownText), TIME_WORDS[kind]]),
  );
}

function list(heading: string, texts: readonly string[]): string[] {
  return texts.length === 0 ? [] : [heading, "", ...texts.map((text) => `- ${markdownSentence(text)}.`)];
}
