import type { Origin } from "@limbwright/shared/finding";
import type { WrittenQuantity } from "./written.ts";

/** A moment of the run that a timer or a requirement counts from. `target` is a dose or a stage. */
export type Moment =
  | {
      readonly kind: "start" | "end";
      readonly target: string;
      readonly targetKind: "dose" | "stage";
      readonly origin: Origin;
    }
  | { readonly kind: "first-inflation"; readonly origin: Origin }
  | { readonly kind: "release"; readonly origin: Origin };

/** A clock with what the author claims of it: `atLeast` at the release, `atMost` at the last deflation. */
export interface Timer {
  readonly name: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  readonly from?: Moment;
  readonly atLeast?: WrittenQuantity;
  readonly atMost?: WrittenQuantity;
}
