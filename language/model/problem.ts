import type { Origin, Related, Repair, Severity } from "@limbwright/shared/finding";

/**
 * Something the reading of a text found wrong: syntax, names, types, uses, or how a number is written.
 * `rule` is the id of the catalogue's rule that explains it; a rule of the group "text" or "numbers".
 */
export interface Problem {
  readonly rule: ReadingRule;
  readonly origin: Origin;
  readonly what: string;
  readonly label: string;
  readonly next: string;
  readonly severity?: Severity;
  readonly related?: readonly Related[];
  readonly repairs?: readonly Repair[];
}

/** The rules that are judged while the text is read. */
export type ReadingRule =
  | "text-not-understood"
  | "statement-out-of-place"
  | "statement-twice"
  | "statement-missing"
  | "statement-shares-line"
  | "name-unknown"
  | "name-twice"
  | "name-badly-written"
  | "word-not-known"
  | "use-not-found"
  | "use-leaves-workspace"
  | "use-in-a-circle"
  | "routine-in-a-circle"
  | "unit-missing"
  | "unit-not-known"
  | "unit-mismatch"
  | "number-badly-written"
  | "age-read-in-two-ways"
  | "amount-read-in-two-ways"
  | "trailing-zero"
  | "missing-leading-zero"
  | "error-prone-unit"
  | "value-out-of-range"
  | "date-not-real"
  | "version-not-complete"
  | "bounds-contradict";
