import type { Origin } from "@limbwright/shared/finding";
import type { Interval } from "@limbwright/shared/quantity";
import type { Written, WrittenQuantity } from "./written.ts";

export type AgentKind = "local-anaesthetic" | "adjuvant" | "rescue";

/** A drug of the hospital's formulary. */
export interface Agent {
  /** As written; compare with `canonicalName`. */
  readonly name: string;
  readonly title?: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  readonly kind?: Written<AgentKind>;
  readonly atc?: Written<string>;
  /** The concentrations in the syringe (mass per volume); one, or several of which a dose names one. */
  readonly concentrations: readonly WrittenQuantity[];
  readonly supply?: {
    readonly concentration: WrittenQuantity;
    readonly volume: WrittenQuantity;
    readonly origin: Origin;
  };
  readonly diluent?: Written<string>;
  /** What it is drawn up in, where a dose names no other syringe. */
  readonly syringe?: Syringe;
  readonly plain?: Origin;
  readonly preservativeFree?: Origin;
  readonly maxima: readonly Maximum[];
  readonly contraindicated?: Written<string>;
  readonly cautions: readonly { readonly text: string; readonly group?: string; readonly origin: Origin }[];
  readonly sources: readonly Written<string>[];
}

/** A syringe, by what it holds and how far its marks are apart. Both are volumes. */
export interface Syringe {
  readonly volume: WrittenQuantity;
  readonly mark: WrittenQuantity;
  readonly origin: Origin;
}

/** The most that may be given in one run: a mass or volume, or one per body weight. */
export interface Maximum {
  readonly limit: WrittenQuantity;
  /** The ages (years) it holds for; everybody when undefined. */
  readonly ages?: Interval;
  readonly origin: Origin;
}
