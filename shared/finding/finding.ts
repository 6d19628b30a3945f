import type { AutomatonStep, EdgeKind } from "../runtime/automaton.ts";

/** A place in a text. Lines and columns count from 1, columns in UTF-16 units; the offset counts from 0. */
export interface Place {
  readonly line: number;
  readonly column: number;
  readonly offset: number;
}

/** Where something is written: a file, relative to the workspace, and a range in it (its end excluded). */
export interface Origin {
  readonly file: string;
  readonly start: Place;
  readonly end: Place;
}

/** Tells two places in the texts apart. */
export function originKey({ file, start, end }: Origin): string {
  return `${file}:${start.offset}-${end.offset}`;
}

/** Each once for its place and what else tells it: what a routine says is written once, wherever it is done. */
export function eachPlaceOnce<T extends { readonly origin: Origin }>(
  all: readonly T[],
  also: (one: T) => string = () => "",
): T[] {
  const seen = new Set<string>();
  return all.filter((one) => {
    const key = `${originKey(one.origin)} ${also(one)}`;
    return !seen.has(key) && seen.add(key);
  });
}

/** A line of a text, by which a reader is led there; lines count from 1. */
export interface LinePlace {
  readonly file: string;
  readonly line: number;
}

export function placeOf({ file, start }: Origin): LinePlace {
  return { file, line: start.line };
}

/** File order, then place order; for output that is the same on every run. */
export function compareOrigins(a: Origin, b: Origin): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return a.start.offset - b.start.offset || a.end.offset - b.end.offset;
}

/**
 * How much a finding matters. `error`: the text cannot be understood. `unsafe`: a patient or a run is
 * harmed by the rule's reasoning; compiling is refused. `doubtful`: likely a slip. `advice`: for the
 * author to weigh.
 */
export type Severity = "error" | "unsafe" | "doubtful" | "advice";

export const SEVERITIES: readonly Severity[] = ["error", "unsafe", "doubtful", "advice"];

/** Whether `severity` is `least` or worse. */
export function isAtLeast(severity: Severity, least: Severity): boolean {
  return SEVERITIES.indexOf(severity) <= SEVERITIES.indexOf(least);
}

/** One text change of a repair, in one file. */
export interface TextChange {
  readonly origin: Origin;
  readonly text: string;
}

/**
 * A mechanical repair. `safe` changes how something is written but not what it means; `needs-a-look`
 * changes the meaning, and an author has to agree.
 */
export interface Repair {
  readonly title: string;
  readonly safety: "safe" | "needs-a-look";
  readonly changes: readonly TextChange[];
}

/** Another place that belongs to the finding, with what it says about it. */
export interface Related {
  readonly origin: Origin;
  readonly note: string;
}

/** The patients whom a finding is about. All numbers are written out with their units. */
export interface PatientEvidence {
  /** The ranges, in words: "45 kg to under 50 kg". */
  readonly ranges: readonly string[];
  /** Whether the ranges are exactly the patients concerned, or only enclose them. */
  readonly exact: boolean;
  readonly everybody: boolean;
  /** The patient for whom it is worst, and what happens there. */
  readonly worst?: { readonly patient: string; readonly says: string };
  /** A patient in round numbers, to quote. */
  readonly example?: { readonly patient: string; readonly says: string };
}

/** A run that shows what a finding says, from its beginning to the moment the finding is about. */
export interface RunEvidence {
  readonly lines: readonly RunLine[];
}

export interface RunLine {
  /** Time from the beginning of the run: "5:00", "1:05:30". */
  readonly time: string;
  readonly seconds: number;
  /** A step that starts or ends, an event, …; `stays` where nothing happens but time passing. */
  readonly kind: EdgeKind | "stays";
  /** What happens, in the words of the protocol. */
  readonly what: string;
  /** The step that starts, ends, is answered, or goes on. */
  readonly step?: AutomatonStep;
  /** What is so from then on, where that matters; else empty. */
  readonly after: string;
  /** All that is otherwise from then on than at the beginning: "proximal confirmed, cannula in"; else empty. */
  readonly standing: string;
  /** The same as data. */
  readonly facts: readonly RunFact[];
  /**
   * Whether the run cannot be told without it: an event, an answer, the end of a task, a dose, a cuff that
   * changes once the drug was injected, the last line.
   */
  readonly isKey: boolean;
  /** Whether the drug was injected by then, or its injection has begun. */
  readonly isInjected: boolean;
  readonly origin?: Origin;
}

/** Something that is so in a run. */
export type RunFact =
  | { readonly kind: "cuff"; readonly cuff: string; readonly is: "flat" | "up" | "confirmed" }
  | { readonly kind: "bandage"; readonly is: "off" | "on" }
  | { readonly kind: "cannula"; readonly is: "out" | "in" }
  | { readonly kind: "drug"; readonly is: "not injected" | "in the limb" | "released" };

/** "distal up", "drug in the limb". */
export function factWords(fact: RunFact): string {
  return `${fact.kind === "cuff" ? fact.cuff : fact.kind} ${fact.is}`;
}

/** An acceptance under which a finding stands: it is printed, but no longer counts. */
export interface AcceptedBy {
  /** "3.5 mg/kg", where it is accepted up to a value. */
  readonly upTo?: string;
  readonly because: string;
  readonly by: string;
  readonly until: string;
  readonly origin: Origin;
}

/** What local rules say where a rule is not decided for want of a published value, and who answers for it. */
export interface AnsweredBy {
  /** "at most 30 mg of ketorolac" */
  readonly what: string;
  readonly source: string;
  readonly because: string;
  readonly by: string;
  readonly until: string;
  readonly origin: Origin;
}

/** What a rule, or the reading of the text, has found. Words are complete sentences for a doctor. */
export interface Finding {
  /** The rule's id, which `limb why` explains. */
  readonly rule: string;
  readonly severity: Severity;
  /** The tightest words that are to blame. */
  readonly origin: Origin;
  /** What is wrong, in the author's own names. */
  readonly what: string;
  /** What alone it is about, as an acceptance names it: the title of a requirement, a drug. */
  readonly subject?: string;
  /** The unit of the limit that it is over, where it can be accepted up to a value. */
  readonly limitUnit?: string;
  /** A few words to stand under the marked text. */
  readonly label: string;
  /** Why it matters, with the source of the value it was judged by; empty where the words say all. */
  readonly why: string;
  /** What to do next. */
  readonly next: string;
  readonly related: readonly Related[];
  readonly patients?: PatientEvidence;
  readonly run?: RunEvidence;
  readonly repairs: readonly Repair[];
  readonly accepted?: AcceptedBy;
  /** The protocol it was found in; undefined where it belongs to a file that several share. */
  readonly protocol?: string;
  /** Only in an editor: it was found before the last change of the text, and was not looked at again yet. */
  readonly stale?: true;
}

/** Why something could not be decided, and where. */
export interface OpenPoint {
  readonly limit: string;
  readonly origin?: Origin;
  /** The answers with which it would be decided on another day. */
  readonly answers?: readonly AnsweredBy[];
}

/** What a verdict leaves open, which is never a pass; undefined where it leaves nothing. */
export function openPointOf(verdict: Verdict): OpenPoint | undefined {
  if (verdict.kind === "broken") return verdict.open;
  return verdict.kind === "not-decided" ? verdict : undefined;
}

/**
 * The verdict on one rule for one protocol. Exactly one of these; no value is both. `answered`: it holds by values that local
 * rules give in the place of published ones that are not known; that is not a proof.
 */
export type Verdict =
  | { readonly rule: string; readonly kind: "holds" }
  | {
      readonly rule: string;
      readonly kind: "broken";
      /** What is not decided beside what it found: that one finding is accepted, decides nothing about the rest. */
      readonly open?: OpenPoint;
      /** The answers by which the rest holds, where it holds by these alone. */
      readonly answers?: readonly AnsweredBy[];
    }
  | { readonly rule: string; readonly kind: "answered"; readonly answers: readonly AnsweredBy[] }
  | (OpenPoint & { readonly rule: string; readonly kind: "not-decided" });

/** Something that stands in the text and that no rule judges: free text, a note, an item of a list. */
export interface NotJudged {
  readonly origin: Origin;
  readonly what: string;
}
