import type { RunEvidence } from "@limbwright/shared/finding";
import { capital, listText } from "@limbwright/shared/text";
import { CHANGE_KINDS, type ChangeKind } from "../../compare/codes.ts";
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
  type SiteComparison,
  type ValueConcerned,
  type VersionRaise,
} from "../../compare/comparison.ts";
import { placeInRun, tellRunShortly } from "../findings/run-lines.ts";
import { countText, placeText } from "../findings/words.ts";

/** One sentence a kind, for those who meet the words for the first time. */
export const KIND_MEANINGS: Readonly<Record<ChangeKind, string>> = {
  "no-longer-safe": "A rule finds something unsafe that it did not find before, whatever the cause.",
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

/** Whether the version was raised as the changes ask, in one sentence; undefined where nothing is asked for. */
export function raiseText({ outcome, version }: ProtocolComparison): string | undefined {
  const { before, now, needed, raised } = version;
  if (needed === "none" || outcome === "added" || outcome === "removed") return undefined;
  const asked = `The changes ask for the ${needed} number of the version to be raised`;
  if (before === undefined || now === undefined) {
    const one = before === undefined ? "The earlier one has none" : "The new one has none";
    const missing = before === now ? "Neither version has a number" : one;
    return `${asked}. ${missing}, so it cannot be said that it was.`;
  }
  if (version.isEnough) return `${asked}, and it was: ${before} became ${now}.`;
  return `${asked}; ${raisedText(raised, before, now)}.`;
}

function raisedText(raised: VersionRaise["raised"], before: string, now: string): string {
  if (raised === "none")
    return before === now ? `it is still ${now}` : `${before} became ${now}, which raises none`;
  if (raised === "lowered") return `it was lowered, from ${before} to ${now}`;
  return `${before} became ${now}, which raises the ${raised}`;
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

/** What stands above the columns of a run. */
export const RUN_COLUMNS = ["Time", "What happens", "What is so then", "Where"];

/** A run told shortly, in these columns, from the lines of a file. */
export function runRows(run: RunEvidence, file: string): string[][] {
  return tellRunShortly(run).map(({ time, what, after, origins }) => [
    time,
    what,
    after,
    placeInRun(origins, file),
  ]);
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

/** A comparison with what its readers have to know of how it was made. */
export interface ComparisonReport {
  /** What the two versions are called: "HEAD", "the folder approved". */
  readonly before: string;
  readonly now: string;
  /** The day on which dates were judged, YYYY-MM-DD. */
  readonly on: string;
  readonly comparison: SiteComparison;
}

/** What a whole comparison comes to, for an exit code and for the sentence that stands above it. */
export type ComparisonVerdict = "no-longer-safe" | "not-raised" | "not-decided" | "clear";

/**
 * `no-longer-safe`: a rule finds something unsafe that it did not find before, whatever number was raised. `not-raised`: the changes of a protocol ask for the first number of its version, which was not raised; a draft is no
 * exception. `not-decided`: nothing of that, but something could not be compared or decided.
 */
export function verdictOf({ protocols, notCompared }: SiteComparison): ComparisonVerdict {
  if (protocols.some(({ changes }) => changes.some(({ kind }) => kind === "no-longer-safe"))) {
    return "no-longer-safe";
  }
  const isWanting = protocols.some(
    ({ version, outcome }) =>
      outcome !== "added" &&
      outcome !== "removed" &&
      version.needed === "first" &&
      version.raised !== "first",
  );
  if (isWanting) return "not-raised";
  return notCompared.length > 0 || protocols.some(isUndecided) ? "not-decided" : "clear";
}

/** "before", "now", "on both sides": where something could not be compared. */
function sideText({ side }: NotCompared): string {
  return side === "both"
    ? "in both versions"
    : side === "before"
      ? "in the earlier version"
      : "in the new version";
}
