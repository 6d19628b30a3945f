import type { Origin } from "@limbwright/shared/finding";
import type { Check, Condition, Phase } from "@limbwright/shared/runtime";
import type { Handler, Protocol, Step } from "../../model/index.ts";

/** A moment of a run at which a rule may look: a step's start or end, a leak, the end, or any moment at all. */
export type Instant =
  | {
      readonly kind: "start" | "end";
      readonly step: Step;
      readonly phase: Phase;
      /** Whether the plan inflates another cuff after this step, so that letting this one down is a swap. */
      readonly inflatesOtherLater: boolean;
    }
  | { readonly kind: "leak"; readonly cuffs: readonly string[]; readonly phase: Phase }
  | { readonly kind: "finish"; readonly origin: Origin; readonly phase: Phase }
  | {
      readonly kind: "any";
      readonly phase: Phase;
      /** Whether a handler is in force, of those that are asked for. */
      readonly answered: (isAsked: (handler: Handler) => boolean) => Condition;
      /** Whether what one of some handlers does is being done, so that others wait. */
      readonly running: (isAsked: (handler: Handler) => boolean) => Condition;
      /** Whether something is in hand, so that time passes and an event may strike. */
      readonly inHand: () => Condition;
    };

/** What a rule asks at an instant, before anything changes there. */
export type WatchedCheck = Omit<Check, "rule"> & {
  readonly origin?: Origin;
  /** What is asked in runs with a leak alone, or in these also where an answer to it leads elsewhere than back, or takes time. */
  readonly inLeaks?: "alone" | "also";
};

/** What a rule watches in every run. It is asked once for each instant, while the automaton is built. */
export interface Watcher {
  readonly rule: string;
  /** Also in emergencies after toxicity signs, where the rules of cuff and time are no longer judged. */
  readonly inEmergencies?: true;
  readonly checksAt: (instant: Instant) => readonly WatchedCheck[];
}

/** What the watching of one rule is told. */
export interface Watched {
  readonly protocol: Protocol;
  readonly cuffs: readonly string[];
  /** A parameter of the rule, as local rules set it, in base units: a time in seconds. */
  readonly parameter: (name: string) => number;
  /** A parameter of another rule. */
  readonly parameterOf: (rule: string, name: string) => number;
}
