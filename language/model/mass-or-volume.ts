import { type Dimension, MASS, type Rational, sameDimension, VOLUME } from "@limbwright/shared/quantity";
import type { Expression } from "../population/expression.ts";
import type { Amount } from "./amount.ts";

/** The amount as a mass (mg) or a volume (mL), by a concentration in mg/mL. */
export function massOrVolume(
  amount: Amount,
  wanted: Dimension,
  perMillilitre: Rational,
): Expression | undefined {
  if (sameDimension(amount.dimension, wanted)) return amount.expression;
  if (perMillilitre.compare(0) <= 0) return undefined;
  const ofTime = amount.dimension.time ?? 0;
  const overTime = (dimension: Dimension) => (ofTime ? { ...dimension, time: ofTime } : dimension);
  if (sameDimension(amount.dimension, overTime(MASS)) && sameDimension(wanted, overTime(VOLUME))) {
    return { kind: "scaled", factor: perMillilitre.inverse(), of: amount.expression };
  }
  if (sameDimension(amount.dimension, overTime(VOLUME)) && sameDimension(wanted, overTime(MASS))) {
    return { kind: "scaled", factor: perMillilitre, of: amount.expression };
  }
  return undefined;
}
