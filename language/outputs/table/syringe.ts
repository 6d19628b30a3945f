import { inBase, type Rational } from "@limbwright/shared/quantity";
import type { Agent, WrittenQuantity } from "../../model/index.ts";

/** How a volume at a concentration is made up from what is supplied. */
export interface Preparation {
  /** What is taken out of ampoules, mL. */
  readonly stock: Rational;
  /** How many ampoules have to be opened. */
  readonly ampoules: Rational;
  /** What is added, mL. */
  readonly diluent: Rational;
}

/** Undefined where the supply is not known, or is weaker than what is to be given. */
export function preparationOf(
  volume: Rational,
  concentration: WrittenQuantity,
  supply: Agent["supply"],
): Preparation | undefined {
  if (!supply) return undefined;
  const strength = inBase(supply.concentration).div(inBase(concentration));
  if (strength.compare(1) < 0) return undefined;
  const stock = volume.div(strength);
  return { stock, ampoules: stock.div(inBase(supply.volume)).ceil(), diluent: volume.sub(stock) };
}
