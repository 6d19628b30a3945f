import { clockText } from "@limbwright/shared/quantity";
import type {
  CaseNotJudged,
  CaseReport,
  Deviation,
  DeviationKind,
  Note,
  NoteKind,
} from "@limbwright/shared/replay";
import type { AgainstFile } from "@limbwright/shared/runtime";
import { CAUTION, listText, plainCharacters } from "@limbwright/shared/text";
import { wrap } from "../findings/terminal.ts";
import { countText } from "../findings/words.ts";
import type { Found, ReplayedFile, ReplayTally } from "./tally.ts";

export interface ReplayTextOptions {
  readonly width: number;
  /** Also shows cases as the protocol says, and what was noted about each case. */
  readonly verbose: boolean;
}

/** So many lines of a record are named in a text; JSON has more. */
const MOST_LINES = 8;

/**
 * What a reader has to know of the protocol before the first case: an audit of one that is retired or unsafe is in order, but what is "as
 * the protocol says" is then no praise. What depends on the day is told behind the cases. Empty where nothing stands against it.
 */
export function replayHeadText(
  against: readonly AgainstFile[],
  { width }: Pick<ReplayTextOptions, "width">,
): string {
  if (against.length === 0) return "";
  const lines = [
    "This protocol is not one to follow as it stands:",
    ...against.flatMap(({ words }) => wrap(plainCharacters(words), width, "  - ")),
    ...wrap(ONLY_THAT, width),
    "",
  ];
  return lines.map((line) => `${line}\n`).join("");
}

const ONLY_THAT = 'A case that is "as the protocol says" is only that: it is not said to have been safe.';

/** One case for a reader, with what stood against the protocol on its day; empty where nothing is to be said of it. */
export function caseText(
  file: string,
  report: CaseReport,
  against: readonly AgainstFile[],
  { width, verbose }: ReplayTextOptions,
): string {
  const { outcome, day, deviations, notJudged, notes } = report;
  if (outcome === "as-written" && !verbose) return "";
  if (outcome === "not-judged" && !verbose) return "";
  const name = plainCharacters(report.case);
  const result =
    outcome === "deviates"
      ? countText(deviations.length, "deviation")
      : outcome === "as-written"
        ? "as the protocol says"
        : "not judged";
  const lines = [
    `${name}  ${result}  (${plainCharacters(file)}:${report.line})`,
    ...deviations.flatMap((one) => deviationLines(one, width)),
    ...notJudged.flatMap(({ words }) => wrap(plainCharacters(words), width, "  Not judged: ")),
    ...(verbose && day !== undefined
      ? against.flatMap(({ words }) => wrap(plainCharacters(words), width, `  On ${day}: `))
      : []),
    ...(verbose ? notes.flatMap((note) => noteLines(note, width, "  Note: ")) : []),
    "",
  ];
  return `${lines.join("\n")}\n`;
}

/** "  35:30  too early   `deflate all for 10 s` came …": what, when, by how much, its line in the record and in the protocol. */
function deviationLines({ kind, at, line, rules, ledTo, place, words }: Deviation, width: number): string[] {
  const time = at === undefined ? "" : clockText(at);
  const head = `  ${time.padStart(8)}  ${KIND_WORDS[kind].padEnd(17)}  `;
  const where = place ? ` ${place.file}:${place.line}` : "";
  const broken = [...new Set(rules.map(({ rule }) => rule))];
  const later = [...new Set(ledTo.map((one) => `${one.rule} at ${clockText(one.at)}`))];
  const rest = [
    broken.length > 0 ? `Breaks ${listText(broken)}.` : "",
    later.length > 0 ? `It led to ${listText(later)}.` : "",
    `(line ${line}${where ? `;${where}` : ""})`,
  ].filter((part) => part !== "");
  return wrap(plainCharacters(`${words} ${rest.join(" ")}`), width, head);
}

/** What was found about a file as a whole. */
export function replayFileText(
  { file, notes, identifying, unread }: ReplayedFile,
  { width }: ReplayTextOptions,
): string {
  const name = plainCharacters(file);
  const lines = [
    ...(identifying.length > 0
      ? wrap(
          `${name}: ${listText(identifying.map(plainCharacters))} would say who a patient is. What stands there was dropped: not kept, not shown.`,
          width,
          "Note: ",
        )
      : []),
    ...(unread.length > 0
      ? wrap(`${name}: not read: ${listText(unread.map(plainCharacters))}.`, width, "Note: ")
      : []),
    ...notes.flatMap((note) => noteLines(note, width, "Note: ", `${name}: `)),
  ];
  return lines.map((line) => `${line}\n`).join("");
}

function noteLines({ kind, count, lines }: Note, width: number, first: string, subject = ""): string[] {
  const shown = lines.slice(0, MOST_LINES).join(", ");
  const more = count > MOST_LINES ? " and more" : "";
  const which = `line${count === 1 ? "" : "s"} ${shown}${more}`;
  return wrap(`${subject}${countText(count, "row")} ${NOTE_WORDS[kind]} (${which}).`, width, first);
}

/** What all cases came to, by deviation and by rule, and the caution. */
export function replayEndText(
  tally: ReplayTally,
  { files, on }: { readonly files: number; readonly on: string },
  { width }: ReplayTextOptions,
): string {
  const { outcomes } = tally;
  const lines = [
    ...wrap(
      `Replayed ${countText(tally.cases, "case")} with ${countText(tally.events, "event")} from ${countText(files, "file")}: ${outcomes["as-written"]} as the protocol says, ${outcomes.deviates} with deviations, ${outcomes["not-judged"]} not judged.`,
      width,
    ),
    ...againstLines(tally, on, width),
    ...section("Deviations:", tally.byKind, (kind) => KIND_WORDS[kind]),
    ...section("Rules broken:", tally.byRule, (rule) => rule),
    ...section("Not judged, which is not a pass:", tally.notJudged, (because) => NOT_JUDGED_WORDS[because]),
    ...(tally.notes.size > 0 ? ["Rows:"] : []),
    ...[...tally.notes].sort().map(([kind, count]) => `  ${String(count).padStart(7)}  ${NOTE_WORDS[kind]}`),
    "",
    ...wrap(CAUTION, width),
  ];
  return lines.map((line) => `${line}\n`).join("");
}

/** What stood against the protocol on the days of the cases; of a case without a date, on the day of the replay. */
function againstLines({ against, withoutDate }: ReplayTally, on: string, width: number): string[] {
  const undated =
    withoutDate === 0
      ? []
      : wrap(
          `${countText(withoutDate, "case has", "cases have")} no date: whether the protocol was in date then is judged by the day of this replay, ${on}.`,
          width,
        );
  if (against.length === 0) return undated;
  return [
    "On the day of the case this protocol was not one to follow:",
    ...against.flatMap(({ cases, words }) =>
      wrap(`${plainCharacters(words)} (${countText(cases, "case")})`, width, "  - "),
    ),
    ...wrap(ONLY_THAT, width),
    ...undated,
  ];
}

function section<Key extends string>(
  title: string,
  found: ReadonlyMap<Key, Found>,
  words: (key: Key) => string,
): string[] {
  const rows = [...found].sort(([a, x], [b, y]) => y.count - x.count || (a < b ? -1 : 1));
  if (rows.length === 0) return [];
  return [
    title,
    ...rows.map(
      ([key, { count, cases }]) =>
        `  ${String(count).padStart(7)}  ${words(key)} (${countText(cases, "case")})`,
    ),
  ];
}

const KIND_WORDS: Readonly<Record<DeviationKind, string>> = {
  patient: "patient outside",
  contraindicated: "contraindicated",
  "too-early": "too early",
  "too-late": "too late",
  "breaks-rule": "breaks a rule",
  "wrong-order": "wrong order",
  "left-out": "left out",
  "not-in-protocol": "not in protocol",
  "unplanned-release": "unplanned release",
  dose: "dose differs",
  pressure: "pressure differs",
};

const NOT_JUDGED_WORDS: Readonly<Record<CaseNotJudged["because"], string>> = {
  "no-event": "nothing recorded with its time",
  "unreadable-rows": "rows that could not be read",
  "times-not-comparable": "times that cannot be compared",
  "clock-jump": "a clock that jumped",
  "record-ends": "the record ends before the protocol does",
  "other-protocol": "recorded under another protocol",
  "measure-not-given": "a measure of the patient is missing",
  "measure-not-clear": "a measure of the patient is not clear",
  "not-answered": "contraindications not answered",
  "dose-not-recorded": "a dose is not recorded",
  "came-late": "rows that came after the case was judged",
};

const NOTE_WORDS: Readonly<Record<NoteKind, string>> = {
  duplicate: "told twice, counted once",
  "out-of-order": "out of the order of time, put in order",
  "mixed-times": "with a time written otherwise than most of its case",
  "clock-went-back": "cases that pass midnight",
  "clock-jump": "after a jump of the clock",
  untold: "without the start or the end that goes with them, taken to have been",
  "end-again": "that end what was over already, left aside",
  "no-time": "without a time that can be read, left out",
  "unknown-event": "with an event that is not known, left out",
  "unknown-value": "with a value that cannot be read, left out",
  "no-case": "that do not say of which case they are, left out",
  "broken-row": "that are no row of the table, left out",
  "cut-off-row": "cut off at the end of the file, left out",
  "not-utf-8": "with bytes that are not UTF-8, left out",
  "new-header": "that are another header, which counts from there on",
  "other-format": "of another format of case records, left out",
  identifying: "that say who somebody is, dropped",
  "came-late": "that came after their case was judged, left out",
};
