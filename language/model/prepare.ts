import type { Origin } from "@limbwright/shared/finding";
import type { Agent } from "./agent.ts";
import type { WrittenQuantity } from "./written.ts";

export const MONITORS = ["ecg", "spo2", "nibp"] as const;

export type Monitor = (typeof MONITORS)[number];

/** What has to be in place before the first step. */
export type PrepareItem =
  | { readonly kind: "iv-access"; readonly place: "other-limb" | "same-limb"; readonly origin: Origin }
  | {
      readonly kind: "monitoring";
      readonly monitors: readonly Monitor[];
      readonly every?: WrittenQuantity;
      readonly origin: Origin;
    }
  | {
      readonly kind: "at-hand";
      readonly agents: readonly Agent[];
      readonly texts: readonly string[];
      readonly origin: Origin;
    }
  | { readonly kind: "staff"; readonly count: number; readonly origin: Origin }
  | { readonly kind: "site-marked"; readonly origin: Origin }
  | { readonly kind: "text"; readonly text: string; readonly origin: Origin };

export interface Preparation {
  readonly origin: Origin;
  readonly items: readonly PrepareItem[];
  /** Whether part of an item was not understood, so that absence proves nothing. */
  readonly incomplete: boolean;
}
