import { listText } from "@limbwright/shared/text";
import { CHANGE_KINDS, type ChangeKind, type RaisedNumber } from "../../compare/codes.ts";
import {
  type Change,
  type ComparedTime,
  type ComparedVersion,
  countsText,
  isUndecided,
  type NotCompared,
  type PatientExample,
  type PatientsConcerned,
  type ProtocolComparison,
  type RunConcerned,
  type ValueConcerned,
  type VersionRaise,
} from "../../compare/comparison.ts";
import { countText, placeText } from "../findings/words.ts";
import { sideText } from "./report.ts";

/** One sentence a kind, for those who meet the words for the first time. */
export const KIND_MEANINGS: Readonly<Record<ChangeKind, string>> = {
  looser: "Something is allowed now that was not.",
  different: "It has changed, and can be called neither looser nor tighter.",
  tighter: "Something is no longer allowed.",
  "needs-a-reader": "A text changed that only a person can judge.",
  wording: "It is written otherwise and means the same.",
};

/** The kinds that a comparison has, from the one that most needs to be looked at, with their changes. */
export function byKind(
  changes: readonly Change[],
): { readonly kind: ChangeKind; readonly changes: readonly Change[] }[] {
  return CHANGE_KINDS.map((kind) => ({
    kind,
    changes: changes.filter((change) => change.kind === kind),
  })).filter((one) => one.changes.length > 0);
}

/**
 * What a comparison of one protocol comes to, in one or two sentences. Where anything was not decided it never says that there
 * is no change.
 */
export function conclusionText(comparison: ProtocolComparison): string {
  const { outcome, changes } = comparison;
  const counts = countsText(changes);
  if (outcome === "added")
    return "It is new, and was compared with nothing: no earlier protocol has its name or says nearly the same.";
  if (outcome === "removed") return "It is gone: no later protocol has its name or says nearly the same.";
  if (isUndecided(comparison)) {
    const found = counts === "" ? "No change was found in what could be compared" : `Found so far: ${counts}`;
    return `Not decided: not everything could be compared or decided. ${found}; that is not the whole answer.`;
  }
  if (counts === "")
    return "No change: everything was compared, and both versions say, ask and allow the same.";
  if (changes.every(({ kind }) => kind === "wording")) {
    return `Only wording: ${countText(changes.length, "text")} written otherwise, with the same meaning.`;
  }
  return `${countText(changes.length, "change")}: ${counts}.`;
}

/** "1.4.0, approved"; "without a version"; "1.4.0, draft, kept as wrist-1.4.0.json". */
export function versionText({ version, status, ruleFile }: ComparedVersion): string {
  const kept = ruleFile === undefined ? [] : [`kept as ${ruleFile}`];
  return [version ?? "without a version", ...(status === undefined ? [] : [status]), ...kept].join(", ");
}

const NUMBER_WORDS: Readonly<Record<Exclude<RaisedNumber, "none">, string>> = {
  first: "first",
  second: "second",
  third: "third",
};

/** Whether the version was raised as the changes ask, in one sentence; undefined where nothing is asked for. */
export function raiseText({ outcome, version }: ProtocolComparison): string | undefined {
  const { before, now, needed, raised } = version;
  if (needed === "none" || outcome === "added" || outcome === "removed") return undefined;
  const asked = `The changes ask for the ${NUMBER_WORDS[needed]} number of the version to be raised`;
  if (before === undefined || now === undefined) {
    const missing =
      before === undefined
        ? now === undefined
          ? "Neither version has a number"
          : "The earlier one has none"
        : "The new one has none";
    return `${asked}. ${missing}, so it cannot be said that it was.`;
  }
  if (isRaisedEnough(version)) return `${asked}, and it was: ${before} became ${now}.`;
  return `${asked}; ${raisedText(raised, before, now)}.`;
}

function raisedText(raised: VersionRaise["raised"], before: string, now: string): string {
  if (raised === "none")
    return before === now ? `it is still ${now}` : `${before} became ${now}, which raises none`;
  if (raised === "lowered") return `it was lowered, from ${before} to ${now}`;
  return `${before} became ${now}, which raises the ${NUMBER_WORDS[raised]}`;
}

const ORDER: readonly VersionRaise["raised"][] = ["lowered", "none", "third", "second", "first"];

/** Whether the number that the changes ask for was raised, or one before it; also asked of drafts. */
function isRaisedEnough({ needed, raised }: VersionRaise): boolean {
  return ORDER.indexOf(raised) >= ORDER.indexOf(needed);
}

/**
 * "More for 45 kg to 130 kg (looser), for example at 70 kg: before 200 mg, now 280 mg, 80 mg more; the most at 75 kg: …".
 */
export function patientsText({
  direction,
  side,
  ranges,
  exact,
  everybody,
  example,
  greatest,
}: PatientsConcerned): string {
  const who = everybody ? "everybody in the protocol" : listText(ranges, "; ");
  const whom = exact || everybody ? who : `patients within ${who}, not necessarily all of them`;
  const parts = [
    ...(example ? [`for example ${exampleText(example)}`] : []),
    ...(greatest ? [`the greatest difference ${exampleText(greatest)}`] : []),
  ];
  const told = parts.length === 0 ? "" : `: ${parts.join("; ")}`;
  return `${capital(direction)} for ${whom} (${side})${told}.`;
}

function exampleText({ patient, before, now, difference }: PatientExample): string {
  const at = patient.startsWith("next to ") || patient === "every patient" ? patient : `at ${patient}`;
  return `${at}, before ${before}, now ${now}${difference === "" ? "" : `, ${difference}`}`;
}

export function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

/** The file from which a run is told: lines of other files are named with theirs. */
export function fileOfRun(
  { side, run }: Pick<RunConcerned, "run"> & { readonly side: RunConcerned["side"] | ValueConcerned["side"] },
  { now, before }: Change,
): string {
  const own = side === "gained" || side === "looser" ? (now ?? before) : (before ?? now);
  return (own?.origin ?? run.lines.find(({ origin }) => origin)?.origin)?.file ?? "";
}

/** What stands above a run that only one version allows. */
export const RUN_HEADINGS: Readonly<Record<RunConcerned["side"], string>> = {
  gained: "A run that is allowed now and was not before",
  lost: "A run that was allowed before and is no longer",
};

/** Above the run up to a moment at which a value is held against either version. */
export const MOMENT_HEADING = "One run up to that moment";

export const TIME_WORDS: Readonly<Record<ComparedTime["kind"], string>> = {
  same: "same",
  looser: "looser",
  tighter: "tighter",
  "not-decided": "not decided",
};

/** "in the new version, wrist.limb:84:7: the runs were not all gone through". */
export function notComparedText(one: NotCompared): string {
  const place = one.origin ? `, ${placeText(one.origin)}` : "";
  return `${sideText(one)}${place}: ${one.limit}`;
}

/** A piece of a sentence: a name between backticks, or what stands around it. */
export interface SentencePiece {
  readonly text: string;
  readonly isName: boolean;
}

/** A sentence in pieces, so that each can be written as what it is. A single backtick is a letter like others. */
export function sentencePieces(sentence: string): SentencePiece[] {
  return sentence
    .split(/(`[^`]+`)/)
    .filter((piece) => piece !== "")
    .map((piece) =>
      /^`[^`]+`$/.test(piece) ? { text: piece.slice(1, -1), isName: true } : { text: piece, isName: false },
    );
}
