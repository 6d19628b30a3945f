import type { Origin } from "@limbwright/shared/finding";
import type { Expression } from "../population/expression.ts";
import type { Agent, Syringe } from "./agent.ts";
import type { Amount } from "./amount.ts";
import type { Duration, Written, WrittenQuantity } from "./written.ts";

/** One dose of one agent, as it is injected or given. Parts that could not be understood are undefined. */
export interface Dose {
  readonly name: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  /** Undefined where the agent's name is unknown. */
  readonly agent?: Agent;
  readonly agentOrigin: Origin;
  /** The concentration given: the dose's own, or the agent's only one. Mass per volume. */
  readonly concentration?: WrittenQuantity;
  /** The amount as written: a mass or a volume. */
  readonly amount?: Amount;
  /** The second way in which the author wrote the same amount (`amount 200 mg = 40 mL`). */
  readonly sameAmount?: Amount;
  /** The amount as a mass (mg) and as a volume (mL), where amount and concentration allow. */
  readonly mass?: Expression;
  readonly volume?: Expression;
  readonly over?: Duration;
  readonly repeat?: DoseRepeat;
  readonly rate?: Amount;
  readonly total?: Amount;
  /** What it is drawn up in: the dose's own syringe alone. */
  readonly syringe?: Syringe;
  readonly adjuvants: readonly Adjuvant[];
  /** The emergency it is declared in; undefined for a dose of the protocol itself. */
  readonly emergency?: string;
}

/** `times` more after the first, `interval` (s) apart. */
export interface DoseRepeat {
  readonly times: number;
  readonly interval: WrittenQuantity;
  readonly condition?: Written<string>;
  readonly origin: Origin;
}

/** A drug mixed into the dose. */
export interface Adjuvant {
  readonly agent?: Agent;
  readonly amount?: Amount;
  readonly mass?: Expression;
  readonly volume?: Expression;
  readonly origin: Origin;
}
