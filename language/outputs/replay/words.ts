import type { CaseNotJudged, DeviationKind, NoteKind } from "@limbwright/shared/replay";

export const KIND_WORDS: Readonly<Record<DeviationKind, string>> = {
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

export const NOT_JUDGED_WORDS: Readonly<Record<CaseNotJudged["because"], string>> = {
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

export const NOTE_WORDS: Readonly<Record<NoteKind, string>> = {
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
