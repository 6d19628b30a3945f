import { CAUTION, capital, listText } from "@limbwright/shared/text";
import type { ChangeKind } from "../../compare/codes.ts";
import {
  type Change,
  type ChangeEvidence,
  type ComparedTime,
  isUndecided,
  type ProtocolComparison,
} from "../../compare/comparison.ts";
import { countText } from "../findings/words.ts";
import type { Part } from "./document.ts";
import { partsText } from "./text.ts";
import { byKind, type ComparisonReport, notComparedText } from "./words.ts";

/** With the longest line of a note, in characters. */
const LAYOUT = { width: 100, colour: false, textOf: () => undefined };

/**
 * What is otherwise from now on, in sentences for the people in the block room: first what is allowed that was not, then what
 * is different, then what is no longer allowed.
 */
export function releaseNotes({ before, now, comparison }: ComparisonReport): string {
  const { protocols, notCompared } = comparison;
  const same = protocols.filter(({ outcome }) => outcome === "nothing").map(({ protocol }) => protocol);
  return partsText(
    [
      ...protocols.filter(({ outcome }) => outcome !== "nothing").flatMap(protocolNotes),
      ...(same.length === 0 ? [] : [paragraph(`Nothing has changed in ${listText(same)}.`)]),
      ...notComparedNotes(
        "Not everything could be compared; ask before you rely on these notes",
        notCompared,
      ),
      paragraph(`From ${before} to ${now}. ${CAUTION}`),
    ],
    LAYOUT,
  );
}

/** Names stand in notes as other words do. */
function plainly(text: string): string {
  return text.replaceAll("`", "");
}

function paragraph(says: string): Part {
  return { is: "paragraph", says: plainly(says) };
}

function list(title: string, items: readonly string[]): Part {
  return { is: "list", title, items: items.map(plainly) };
}

function notComparedNotes(title: string, all: ProtocolComparison["notCompared"]): Part[] {
  const items = all.map((one) => `${capital(notComparedText(one))}.`);
  return items.length === 0 ? [] : [list(title, items)];
}

function protocolNotes(comparison: ProtocolComparison): Part[] {
  const { protocol, before, now, outcome, changes, times, notCompared } = comparison;
  const version = now?.version ?? before?.version;
  const title = (now ?? before)?.title ?? protocol;
  return [
    paragraph(`${title} (${protocol}${version === undefined ? "" : `, ${version}`})`),
    ...(outcome === "added" || outcome === "removed" ? [paragraph(ONE_SIDED[outcome])] : []),
    ...(isUndecided(comparison) ? [undecidedNote(comparison)] : []),
    ...byKind(changes.filter((one) => !isJudgement(one))).map((one) => kindNote(one.kind, one.changes)),
    ...judgementNotes(changes.filter(isJudgement)),
    ...timesNotes(times),
    ...notComparedNotes("Not compared", notCompared),
  ];
}

const ONE_SIDED = {
  added: "This protocol is new, and was compared with nothing. Read all of it before you use it.",
  removed: "This protocol is no longer there. Do not use an earlier copy of it.",
};

/** What the check says of a protocol is no matter for those who use it, but that it says otherwise is. */
function isJudgement({ part }: Change): boolean {
  return part === "verdict";
}

function judgementNotes(changes: readonly Change[]): Part[] {
  if (changes.length === 0) return [];
  const what = `${countText(changes.length, "answer")} of the check ${changes.length === 1 ? "has" : "have"} changed, too`;
  return [paragraph(`${what}; whoever signs this protocol has to read them in the whole comparison.`)];
}

function undecidedNote({ changes }: ProtocolComparison): Part {
  const found =
    changes.length === 0
      ? "No difference was found in the rest, which does not say that there is none."
      : "What was found follows.";
  return paragraph(
    `Not decided: parts of this protocol could not be compared. ${found} Ask before you rely on these notes.`,
  );
}

const HEADINGS: Readonly<Record<Exclude<ChangeKind, "wording">, string>> = {
  "no-longer-safe": "No longer safe: not to be used before this is mended",
  looser: "Allowed from now on, and not before",
  different: "Done differently from now on",
  tighter: "No longer allowed",
  "needs-a-reader": "Read again, as the wording has changed",
};

function kindNote(kind: ChangeKind, changes: readonly Change[]): Part {
  if (kind !== "wording") return list(HEADINGS[kind], changes.map(changeText));
  const places = countText(changes.length, "more place");
  return paragraph(`${capital(places)} written otherwise, with the same meaning.`);
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

function timesNotes(times: readonly ComparedTime[]): Part[] {
  const told = times.filter(({ kind }) => kind !== "same");
  if (told.length === 0) return [];
  const items = told.map(({ what, before, now, kind }) => {
    const says =
      kind === "not-decided" ? `not decided (before ${before}, now ${now})` : `${now} instead of ${before}`;
    return `${capital(what)}: ${says}.`;
  });
  return [list("Times, in minutes and seconds", items)];
}
