import {
  type Dimension,
  inBase,
  type Rational,
  VOLUME,
  VOLUME_RATE,
  ZERO,
} from "@limbwright/shared/quantity";
import { type Amount, type Dose, type Emergency, massOrVolume, type Protocol } from "../../model/index.ts";
import { isInfusion, lipidDosesGiven } from "../facts/emergencies-reached.ts";
import { mostGiven } from "../facts/most-given.ts";
import { scaleBy, type WrittenAmount } from "./differences.ts";

/** The lipid emulsion that one emergency gives. */
export interface RescuePlan {
  readonly emergency: Emergency;
  readonly boluses: readonly Dose[];
  readonly infusions: readonly Dose[];
  /** Whether the one bolus is given by one step, so that its repeats stand with the dose alone. */
  readonly repeatsStandWithTheDose: boolean;
}

export function planOf(protocol: Protocol, emergency: Emergency): RescuePlan {
  const doses = lipidDosesGiven(protocol, emergency);
  const boluses = doses.filter((dose) => !isInfusion(dose));
  const [first] = boluses;
  return {
    emergency,
    boluses,
    infusions: doses.filter(isInfusion),
    repeatsStandWithTheDose:
      boluses.length === 1 && first !== undefined && isGivenOnce(protocol, emergency, first),
  };
}

/** Whether the steps of an emergency give a dose once; its own `repeat` is not counted. */
function isGivenOnce(protocol: Protocol, emergency: Emergency, dose: Dose): boolean {
  const most = mostGiven({ ...protocol, steps: emergency.steps, throughout: [], emergencies: [] });
  return !("limit" in most) && most.every((counts) => (counts.get(dose.name) ?? 0) <= 1);
}

/** The amount of a bolus in mL; undefined where it cannot be told as a volume. */
export function bolusVolume(dose: Dose): WrittenAmount | undefined {
  return dose.amount && asWritten(dose, dose.amount, VOLUME, "mL");
}

/** The most of lipid emulsion that a dose's `total up to` allows, in mL. */
export function totalVolume(dose: Dose): WrittenAmount | undefined {
  return dose.total && asWritten(dose, dose.total, VOLUME, "mL");
}

/** The rate of an infusion in mL/s: as written, or the amount over its longest and its shortest time. */
export function infusionRate(dose: Dose): WrittenAmount | undefined {
  if (dose.rate) return asWritten(dose, dose.rate, VOLUME_RATE, "mL/h");
  const { amount, volume, over } = dose;
  if (!amount || !volume || !over?.longest) return undefined;
  const within = (seconds: Rational) => scaleBy(volume, seconds.inverse());
  return { low: within(over.longest), high: within(over.shortest), unit: "mL/h", origin: amount.origin };
}

function asWritten(
  { concentration }: Dose,
  amount: Amount,
  wanted: Dimension,
  unit: WrittenAmount["unit"],
): WrittenAmount | undefined {
  const expression = massOrVolume(amount, wanted, concentration ? inBase(concentration) : ZERO);
  return expression && { low: expression, high: expression, unit, origin: amount.origin };
}
