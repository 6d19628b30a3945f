import type { Origin } from "@limbwright/shared/finding";
import type { Duration, WrittenQuantity } from "./written.ts";

/** What every step may carry. */
export interface StepDetails {
  readonly origin: Origin;
  readonly notes: readonly string[];
  readonly roles: readonly string[];
  readonly takes?: Duration;
}

/** The cuffs a step acts on: the names of those that could be found, or every cuff. */
export type CuffChoice = { readonly kind: "all" } | { readonly kind: "cuff"; readonly name: string };

/** Topics of a checklist line that rules look for. */
export const TASK_TOPICS = [
  "pause",
  "cannula-check",
  "anaesthetic-decision",
  "stop-injection",
  "help",
  "oxygen",
  "seizure",
  "arrest",
  "cuff-decision",
] as const;

export type TaskTopic = (typeof TASK_TOPICS)[number];

/** Where a dose goes that is not given into the circulation: into the tissues of the wound, or around a nerve. */
export const TISSUE_PLACES = ["infiltration", "nerve-block"] as const;

export type TissuePlace = (typeof TISSUE_PLACES)[number];

/** A step of the protocol, in the order and nesting of the text; `do` is kept, with its routine's name. */
export type Step = StepDetails &
  (
    | { readonly kind: "apply-cuffs" }
    | { readonly kind: "insert-cannula" }
    | { readonly kind: "remove-cannula"; readonly press?: Duration }
    | {
        readonly kind: "exsanguinate";
        readonly method: "bandage" | "elevation" | "arterial-compression";
        readonly duration?: Duration;
      }
    | { readonly kind: "remove-bandage" }
    | { readonly kind: "inflate"; readonly cuffs: CuffChoice }
    | {
        readonly kind: "deflate";
        readonly cuffs: CuffChoice;
        readonly flatFor?: WrittenQuantity;
        /** To save limb or life, in an emergency, whatever the time on hold. */
        readonly forEmergency?: true;
      }
    | { readonly kind: "confirm"; readonly cuffs: CuffChoice; readonly otherwise?: readonly Step[] }
    | { readonly kind: "confirm-no-pulse" }
    /** `intoOtherLimb`: as a single fault that is explored, never as a protocol says it. */
    | { readonly kind: "inject"; readonly dose: string; readonly intoOtherLimb?: true }
    /** Into the circulation; or, `as` is said, into the tissues. */
    | { readonly kind: "give"; readonly dose: string; readonly as?: TissuePlace }
    | { readonly kind: "wait"; readonly duration: Duration }
    | { readonly kind: "wait-for"; readonly timer: string }
    | { readonly kind: "watch"; readonly duration: Duration }
    | { readonly kind: "recovery"; readonly duration: Duration }
    | { readonly kind: "task"; readonly topic?: TaskTopic; readonly text: string }
    | {
        readonly kind: "stage";
        readonly name: string;
        readonly steps: readonly Step[];
        readonly handlers: readonly Handler[];
      }
    | { readonly kind: "end-stage"; readonly stage?: string }
    | { readonly kind: "go-to-emergency"; readonly emergency: string }
    | { readonly kind: "finish" }
    | {
        readonly kind: "ask";
        readonly question: string;
        readonly yes: readonly Step[];
        readonly no: readonly Step[];
      }
    | { readonly kind: "repeat"; readonly times: number; readonly steps: readonly Step[] }
    | { readonly kind: "do"; readonly routine: string; readonly steps: readonly Step[] }
  );

/**
 * Steps that are work with the hands or the eyes: they move no cuff, give no drug and do not only wait. Whoever tells kinds of steps
 * apart by these has nothing to say of a new one among them.
 */
const WORK = [
  "apply-cuffs",
  "insert-cannula",
  "remove-cannula",
  "exsanguinate",
  "remove-bandage",
  "confirm-no-pulse",
  "task",
] as const satisfies readonly Step["kind"][];

export type WorkStep = Extract<Step, { readonly kind: (typeof WORK)[number] }>;

export function isWork(step: Step): step is WorkStep {
  return WORK.some((kind) => kind === step.kind);
}

export const KNOWN_EVENTS = [
  "tourniquet-pain",
  "toxicity-signs",
  "cuff-leak",
  "block-incomplete",
  "surgery-done",
  "patient-distress",
  "systolic-rises",
  "cardiac-arrest",
  "limb-at-risk",
] as const;

/** What may happen at any moment, or as soon as a timer reaches a time, and what is done then. */
export type Handler = {
  readonly origin: Origin;
  readonly steps: readonly Step[];
} & (
  | {
      readonly kind: "event";
      /** A known event, or one the hospital declares. */
      readonly event: string;
      readonly cuff?: string;
      readonly notBefore?: WrittenQuantity;
      /** How often per entry of its stage; undefined: without limit. */
      readonly times?: number;
    }
  | { readonly kind: "reaches"; readonly timer: string; readonly limit: WrittenQuantity }
);
