import type { Origin } from "@limbwright/shared/finding";
import type { Amount } from "./amount.ts";
import type { Written, WrittenQuantity, WrittenRange } from "./written.ts";

export const PLACES = ["upper-arm", "forearm", "thigh", "calf", "ankle"] as const;

/** Where on the limb a cuff sits. */
export type Place = (typeof PLACES)[number];

export interface Cuff {
  readonly name: string;
  /** What is written on the tubing or the cuff; printed wherever the cuff is named. */
  readonly label?: string;
  readonly origin: Origin;
}

/** One or two cuffs, proximal first, with the pressure they are inflated to. */
export interface CuffSet {
  readonly origin: Origin;
  readonly cuffs: readonly Cuff[];
  readonly place?: Written<Place>;
  /** The target pressure, mmHg, as a function of the patient. */
  readonly pressure?: Amount;
  readonly ceiling?: WrittenQuantity;
  /** The limb circumferences the cuff fits, cm. */
  readonly fits?: WrittenRange;
  /** Occlusion pressure by circumference, from the hospital's own table. */
  readonly occlusion?: Amount;
}
