import type { AutomatonEvent, AutomatonStep } from "../rule-file/generated/rule-file.ts";

export type { AutomatonEvent, AutomatonStep };

/**
 * A protocol as a timed automaton: where the team is (locations), what is so (variables), how long something
 * has been so (clocks), and what may happen next (edges). Plain data, as it stands in a rule file; the
 * runtime steps it with real times, and the proof explores it with all times at once.
 *
 * What it means: time passes only in a location, all clocks run alike, and an edge takes no time. In a
 * location that is not `during`, no time passes. In one that is, time passes up to its `atMost` and up to
 * the moment an edge that is `due` may be taken; whoever comes in after that stays, but no time passes.
 */
export interface Automaton {
  /** The location a run begins in; all clocks are zero, all variables have their first value. */
  readonly initial: number;
  readonly clocks: readonly string[];
  readonly variables: readonly Variable[];
  readonly locations: readonly Location[];
  readonly edges: readonly Edge[];
  /** What must not be so; edges name them by number. */
  readonly checks: readonly Check[];
}

export interface Variable {
  readonly name: string;
  /** What its values from 0 on mean, where they have names. */
  readonly values?: readonly string[];
  readonly first: number;
}

/** The clocks from the start of the step in hand; all others have a meaning beyond it. */
export const STEP_CLOCK = "step";
export const HANDLER_STEP_CLOCK = "step of handler";

export function isStepClock(clock: string): boolean {
  return clock === STEP_CLOCK || clock === HANDLER_STEP_CLOCK;
}

/** Whose steps these are: the plan's, a handler's, an emergency's, an emergency's handler's; or the run's end. */
export type Phase = "plan" | "handler" | "emergency" | "emergency-handler" | "end";

/** Whether the rules of cuff and time are no longer judged. */
export function isEmergency(phase: Phase): boolean {
  return phase === "emergency" || phase === "emergency-handler";
}

/** Whether something else goes on once these steps are over. */
export function isHandling(phase: Phase): boolean {
  return phase === "handler" || phase === "emergency-handler";
}

export interface Location {
  /** For a reader: the step as it is written, or what it is before or after. */
  readonly name: string;
  /** The step in hand. */
  readonly step?: AutomatonStep;
  readonly kind: "before" | "during" | "end";
  readonly phase: Phase;
  /** The longest stay: the step's own, and that of each stage it is in. */
  readonly atMost?: readonly Limit[];
  /** What must not be so at any moment here. */
  readonly checks?: readonly number[];
}

/** `seconds` on a clock. */
export interface Limit {
  readonly clock: string;
  readonly seconds: number;
}

export interface ClockCondition extends Limit {
  readonly is: "at-most" | "under" | "at-least" | "over";
}

/** A condition on the variables; an empty `all` is true, an empty `any` is false. */
export type Condition =
  | { readonly variable: string; readonly is: number }
  | { readonly variable: string; readonly atLeast: number }
  /** Whether the run is in one of these locations. */
  | { readonly at: readonly number[] }
  /** Whether a handler runs that interrupted one of these locations. */
  | { readonly interrupted: readonly number[] }
  | { readonly all: readonly Condition[] }
  | { readonly any: readonly Condition[] }
  | { readonly not: Condition };

/** Sets or raises a variable. All conditions of an edge are asked before anything changes. */
export interface Assignment {
  readonly variable: string;
  readonly to?: number;
  readonly plus?: number;
  readonly when?: Condition;
}

export interface Reset {
  readonly clock: string;
  readonly when?: Condition;
}

export type EdgeKind =
  | "start"
  | "end"
  | "event"
  | "reaches"
  | "answer"
  | "leak"
  | "return"
  | "pass"
  | "finish";

export interface Edge {
  readonly kind: EdgeKind;
  /** For a reader: the step, event or answer, in the words of the protocol. */
  readonly says: string;
  /** The step that starts or ends, or that is answered: a question, or a cuff that is to be confirmed. */
  readonly step?: AutomatonStep;
  /** What strikes, of an `event`. */
  readonly event?: AutomatonEvent;
  readonly answer?: "yes" | "no";
  /** What a timer has come to, of a `reaches`. */
  readonly reaches?: { readonly timer: string; readonly seconds: number };
  /** The cuff of a `leak`, or `all`. */
  readonly cuff?: string;
  readonly from: readonly number[];
  /** Where it leads; `interrupted` is the location that the running handler interrupted, `same` where it is. */
  readonly to: number | "interrupted" | "same";
  readonly when?: Condition;
  readonly guard?: readonly ClockCondition[];
  readonly set?: readonly Assignment[];
  readonly reset?: readonly Reset[];
  readonly checks?: readonly number[];
  /** Remembers the location it leaves, to which `interrupted` leads back. */
  readonly interrupts?: true;
  /** Forgets the location that was interrupted: nobody goes back to it. */
  readonly forgets?: true;
  /** Only while no `atMost` of the location is over. */
  readonly inTime?: true;
  /** Goes before every edge that is not due. */
  readonly due?: true;
  /** Whether the team or the patient could do otherwise: an event, an answer, the end of a task. */
  readonly decision?: true;
}

/** Broken when `when` and every one of `clocks` are so. */
export interface Check {
  readonly rule: string;
  /** Tells apart what one rule looks at: a timer, a requirement, a cuff. */
  readonly about?: string;
  readonly when?: Condition;
  readonly clocks?: readonly ClockCondition[];
  /** Whether nobody follows the run beyond it. */
  readonly endsRun?: true;
}
