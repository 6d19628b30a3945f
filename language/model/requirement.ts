import type { Origin } from "@limbwright/shared/finding";
import type { CuffChoice, TaskTopic } from "./step.ts";
import type { Moment } from "./timer.ts";
import type { WrittenQuantity } from "./written.ts";

/** A property of the hospital's own, to hold on every run. */
export interface Requirement {
  readonly title: string;
  readonly origin: Origin;
  readonly property: Property;
}

export type Property =
  | { readonly kind: "never"; readonly condition: StateCondition }
  | { readonly kind: "only-when"; readonly action: Action; readonly condition: StateCondition }
  | { readonly kind: "only-after"; readonly action: Action; readonly earlier: Action }
  | {
      readonly kind: "within";
      readonly action: Action;
      readonly limit: WrittenQuantity;
      readonly earlier: Action;
    };

/** A step without its details, as requirements and scenarios name it. */
export type Action =
  | { readonly kind: "apply-cuffs" | "insert-cannula" | "remove-cannula" | "remove-bandage" | "exsanguinate" }
  | { readonly kind: "inflate" | "confirm"; readonly cuffs: CuffChoice }
  | { readonly kind: "deflate"; readonly cuffs: CuffChoice; readonly flatFor?: WrittenQuantity }
  | { readonly kind: "inject" | "give"; readonly dose: string }
  | { readonly kind: "task"; readonly topic?: TaskTopic; readonly text?: string };

/** `least` and `most` contain the limit, `under` and `over` do not. */
export type Comparison = "under" | "over" | "least" | "most";

export type StateCondition =
  | { readonly kind: "or" | "and"; readonly left: StateCondition; readonly right: StateCondition }
  | { readonly kind: "not"; readonly of: StateCondition }
  | { readonly kind: "cuff"; readonly cuffs: CuffChoice; readonly state: "up" | "flat" | "confirmed" }
  | { readonly kind: "bandage"; readonly on: boolean }
  | { readonly kind: "cannula"; readonly in: boolean }
  | { readonly kind: "drug-in-limb" }
  | { readonly kind: "occluded" }
  | {
      readonly kind: "since";
      readonly moment: Moment;
      readonly comparison: Comparison;
      readonly limit: WrittenQuantity;
    }
  | {
      readonly kind: "timer";
      readonly timer: string;
      readonly comparison: Comparison;
      readonly limit: WrittenQuantity;
    };
