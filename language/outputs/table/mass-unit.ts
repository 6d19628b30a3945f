import { exactText, fromBase, type Rational, rational } from "@limbwright/shared/quantity";
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

/**
 * A mass in mg, or one for each hour or kilogram, told in a unit; `text` writes a number. Grams have as many places as the milligrams in
 * them: 185 mg are 0.185 g, and with two decimals they would be 5 mg less.
 */
export function massText(mass: Rational, unit: MassUnit, text: (value: Rational) => string): string {
  return unit === "g" ? exactText(rational(text(mass)).div(1000)) : text(fromBase(mass, unit).value);
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
