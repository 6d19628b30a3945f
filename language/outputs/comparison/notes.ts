import { CAUTION, listText, plainCharacters } from "@limbwright/shared/text";
import type { Change, ChangeEvidence, ChangeKind } from "../../compare/change.ts";
import type { ComparedTime, ProtocolComparison } from "../../compare/comparison.ts";
import { counted } from "../findings/words.ts";
import { wrap } from "../findings/wrap.ts";
import { type ComparisonReport, isUndecided } from "./report.ts";
import { byKind, capital, notComparedText } from "./words.ts";

/** The longest line of a note, in characters. */
const WIDTH = 100;

/**
 * What is otherwise from now on, in sentences for the people in the block room: first what is allowed that was not, then what
 * is different, then what is no longer allowed.
 */
export function releaseNotes({ before, now, comparison }: ComparisonReport): string {
  const { protocols, notCompared } = comparison;
  const told = protocols.filter(({ outcome }) => outcome !== "nothing");
  const same = protocols.filter(({ outcome }) => outcome === "nothing");
  const blocks = [
    ...told.map(protocolBlock),
    same.length === 0
      ? []
      : paragraph(`Nothing is otherwise in ${listText(same.map(({ protocol }) => protocol))}.`),
    notCompared.length === 0
      ? []
      : [
          ...paragraph("Not everything could be compared; ask before you rely on these notes:"),
          ...notCompared.flatMap((one) => item(`${capital(notComparedText(one))}.`)),
        ],
    paragraph(`From ${before} to ${now}. ${CAUTION}`),
  ];
  return `${blocks
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`;
}

function protocolBlock(comparison: ProtocolComparison): string[] {
  const { protocol, before, now, outcome, changes, times, notCompared } = comparison;
  const version = now?.version ?? before?.version;
  const title = (now ?? before)?.title ?? protocol;
  return [
    ...paragraph(`${title} (${protocol}${version === undefined ? "" : `, ${version}`})`),
    ...(outcome === "added"
      ? spaced(
          paragraph("This protocol is new, and was compared with nothing. Read all of it before you use it."),
        )
      : []),
    ...(outcome === "removed"
      ? spaced(paragraph("This protocol is no longer there. Do not use an earlier copy of it."))
      : []),
    ...(isUndecided(comparison) ? spaced(undecidedLines(comparison)) : []),
    ...byKind(changes.filter((one) => !isJudgement(one))).flatMap((one) =>
      spaced(kindLines(one.kind, one.changes)),
    ),
    ...judgementLines(changes.filter(isJudgement)),
    ...timesLines(times),
    ...(notCompared.length === 0 ? [] : spaced(listOf("Not compared:", notCompared.map(notComparedText)))),
  ];
}

/** What the check says of a protocol is no matter for those who use it, but that it says otherwise is. */
function isJudgement({ part }: Change): boolean {
  return part === "verdict";
}

function judgementLines(changes: readonly Change[]): string[] {
  if (changes.length === 0) return [];
  const what = counted(changes.length, "answer");
  return spaced(
    paragraph(
      `${capital(what)} of the check ${changes.length === 1 ? "is" : "are"} otherwise, too; whoever signs this protocol has to read them in the whole comparison.`,
    ),
  );
}

function undecidedLines({ changes }: ProtocolComparison): string[] {
  const found =
    changes.length === 0
      ? "No difference was found in the rest, which does not say that there is none."
      : "What was found follows.";
  return paragraph(
    `Not decided: parts of this protocol could not be compared. ${found} Ask before you rely on these notes.`,
  );
}

const HEADINGS: Readonly<Record<Exclude<ChangeKind, "wording">, string>> = {
  looser: "Allowed from now on, and not before:",
  different: "Otherwise from now on:",
  tighter: "No longer allowed:",
  "needs-a-reader": "Read again, for the words are others:",
};

function kindLines(kind: ChangeKind, changes: readonly Change[]): string[] {
  if (kind === "wording") {
    return paragraph(
      `${capital(counted(changes.length, "more place"))} written otherwise, with the same meaning.`,
    );
  }
  return [...paragraph(HEADINGS[kind]), ...changes.flatMap((change) => item(changeText(change)))];
}

/** "Dose `local`: the amount is greater. From now on: 4 mg/kg; before: 3 mg/kg. More for everybody (70 kg: 280 mg instead of 210 mg)." */
function changeText({ about, what, before, now, evidence, notDecided }: Change): string {
  const untold = [now?.says, before?.says].some(
    (says) => says !== undefined && !what.includes(sentenceOf(says)),
  );
  const says = [
    ...(now ? [`from now on: ${sentenceOf(now.says)}`] : []),
    ...(before ? [`${now ? "before" : "until now"}: ${sentenceOf(before.says)}`] : []),
  ].join("; ");
  return [
    `${capital(about)}. ${what}`,
    ...(untold ? [`${capital(says)}.`] : []),
    ...evidence.map(evidenceText),
    ...(notDecided === undefined
      ? []
      : [`What this allows or forbids is not decided: ${sentenceOf(notDecided)}.`]),
  ].join(" ");
}

/** What is said in the middle of a sentence has no end of its own. */
function sentenceOf(says: string): string {
  return says.replace(/\.$/, "");
}

function evidenceText(evidence: ChangeEvidence): string {
  if (evidence.kind === "value") return evidence.says;
  if (evidence.kind === "run") return evidence.other;
  const { direction, everybody, ranges, exact, example, greatest } = evidence;
  const who = everybody ? "everybody" : `${exact ? "" : "some of "}${listText(ranges, "; ")}`;
  const shown = [example, greatest]
    .filter((one) => one !== undefined)
    .map(({ patient, before, now }) => `${patient}: ${now} instead of ${before}`);
  return `${capital(direction)} for ${who}${shown.length === 0 ? "" : ` (${shown.join("; ")})`}.`;
}

function timesLines(times: readonly ComparedTime[]): string[] {
  const told = times.filter(({ kind }) => kind !== "same");
  if (told.length === 0) return [];
  return spaced([
    ...paragraph("Times, in minutes and seconds:"),
    ...told.flatMap(({ what, before, now, kind }) =>
      item(
        `${capital(what)}: ${kind === "not-decided" ? `not decided (before ${before}, now ${now})` : `${now} instead of ${before}`}.`,
      ),
    ),
  ]);
}

function listOf(heading: string, texts: readonly string[]): string[] {
  return [...paragraph(heading), ...texts.flatMap((text) => item(`${capital(text)}.`))];
}

function paragraph(text: string): string[] {
  return wrap(plainly(text), WIDTH);
}

function item(text: string): string[] {
  return wrap(plainly(text), WIDTH, "- ");
}

/** Names stand in notes as other words do. */
function plainly(text: string): string {
  return plainCharacters(text).replaceAll("`", "");
}

function spaced(lines: readonly string[]): string[] {
  return ["", ...lines];
}
