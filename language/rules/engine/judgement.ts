import type {
  OpenPoint,
  Origin,
  PatientEvidence,
  Related,
  Repair,
  RunEvidence,
  Severity,
} from "@limbwright/shared/finding";

/** What a rule found wrong at one place. Sentences end in a full stop; `label` is a few words. */
export interface Detected {
  readonly origin: Origin;
  readonly what: string;
  readonly label: string;
  readonly next: string;
  /** What alone it is about, where that is something that an acceptance can name. */
  readonly subject?: string;
  /** The unit of the limit that it is over, where it can be accepted up to a value of its kind. */
  readonly limitUnit?: string;
  /** Instead of the rule's own sentence and severity, where the case asks for it. */
  readonly why?: string;
  readonly severity?: Severity;
  readonly related?: readonly Related[];
  readonly patients?: PatientEvidence;
  readonly run?: RunEvidence;
  readonly repairs?: readonly Repair[];
}

/** What is said of it. */
export type Words = Pick<Detected, "what" | "label" | "next">;

/** Why a question could not be answered; never a pass. */
export type Undecided = OpenPoint;

/** Nothing found and nothing undecided: the rule holds. */
export interface Judgement {
  readonly found: readonly Detected[];
  readonly undecided: readonly Undecided[];
}

export const HOLDS: Judgement = { found: [], undecided: [] };

export function found(...detected: readonly Detected[]): Judgement {
  return { found: detected, undecided: [] };
}

export function undecided(limit: string, origin?: Origin): Judgement {
  return { found: [], undecided: [{ limit, ...(origin && { origin }) }] };
}

/** Several judgements as one. */
export function combine(judgements: readonly Judgement[]): Judgement {
  return {
    found: judgements.flatMap((judgement) => judgement.found),
    undecided: judgements.flatMap((judgement) => judgement.undecided),
  };
}
