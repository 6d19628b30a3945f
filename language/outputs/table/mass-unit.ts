import { fromBase, type Rational } from "@limbwright/shared/quantity";
import { type Adjuvant, type AmountNode, type Dose, partsOfAmount } from "../../model/index.ts";

/** The units that a mass is written and told in. */
export const MASS_UNITS = ["mg", "mcg", "g"] as const;
export type MassUnit = (typeof MASS_UNITS)[number];

/**
 * The unit of mass that a dose is written in: 75 mcg are told as 75 mcg, never as 0.07 mg. That of its strength where it is written as a
 * volume.
 */
export function massUnitOf({
  amount,
  rate,
  concentration,
}: Pick<Dose, "amount" | "rate" | "concentration">): MassUnit {
  const node = (amount ?? rate)?.node;
  return (node && unitIn(node)) ?? (concentration && unitNamed(concentration.unit.symbol)) ?? "mg";
}

/** The same of what is mixed into a dose. */
export function massUnitMixedIn({ amount, agent }: Adjuvant): MassUnit {
  const [concentration] = agent?.concentrations ?? [];
  return massUnitOf({ ...(amount && { amount }), ...(concentration && { concentration }) });
}

/** A mass in mg, or one for each second or kilogram, in a unit. */
export function inMassUnit(mass: Rational, unit: MassUnit): Rational {
  return fromBase(mass, unit).value;
}

function unitIn(node: AmountNode): MassUnit | undefined {
  if (node.kind === "quantity") return unitNamed(node.quantity.unit.symbol);
  for (const part of partsOfAmount(node)) {
    const unit = unitIn(part);
    if (unit) return unit;
  }
  return undefined;
}

/** "mcg" of "mcg/kg"; undefined for a volume. */
function unitNamed(symbol: string): MassUnit | undefined {
  return MASS_UNITS.find((unit) => symbol === unit || symbol.startsWith(`${unit}/`));
}
