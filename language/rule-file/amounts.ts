import {
  type Dimension,
  dimensionName,
  exactText,
  inBase,
  MASS,
  MASS_RATE,
  type Rational,
  rational,
  sameDimension,
} from "@limbwright/shared/quantity";
import type { AmountRow } from "@limbwright/shared/rule-file";
import { type Amount, type AmountNode, amountOfNode, type WrittenQuantity } from "../model/index.ts";
import type { Writing } from "./codec.ts";
import type { Models } from "./generated/models.ts";
import { lookupRows } from "./lookup-rows.ts";
import { Senseless } from "./values.ts";

/** An amount with its table for the patients of the protocol. */
export function amountModel(
  { box }: Writing,
  amount: Amount,
  concentration: WrittenQuantity | undefined,
  same?: Amount,
): Models["Amount"] {
  const isMass = sameDimension(amount.dimension, MASS);
  const rows = lookupRows(amount.expression, box)?.map(({ ranges, value, exact }): AmountRow => {
    const [mass, volume] = massAndVolumeOf(value, isMass, concentration);
    return {
      ...ranges,
      ...(mass && { mass: { value: exactText(mass), unit: "mg" } }),
      ...(volume && { volume: { value: exactText(volume), unit: "mL" } }),
      exact,
    };
  });
  return {
    origin: amount.origin,
    formula: amount.node,
    ...(same && { sameFormula: same.node }),
    ...(rows && { rows }),
  };
}

function massAndVolumeOf(
  value: Rational,
  isMass: boolean,
  concentration: WrittenQuantity | undefined,
): readonly [Rational | undefined, Rational | undefined] {
  const perMillilitre = concentration && inBase(concentration);
  if (!perMillilitre || perMillilitre.compare(0) <= 0)
    return isMass ? [value, undefined] : [undefined, value];
  return isMass ? [value, value.div(perMillilitre)] : [value.mul(perMillilitre), value];
}

/** A rate with its table, told by the hour. */
export function rateModel({ box }: Writing, rate: Amount): Models["Rate"] {
  const unit = sameDimension(rate.dimension, MASS_RATE) ? "mg/h" : "mL/h";
  const rows = lookupRows(rate.expression, box)?.map(({ ranges, value, exact }) => ({
    ...ranges,
    rate: { value: exactText(value.mul(HOUR)), unit } as const,
    exact,
  }));
  return { origin: rate.origin, formula: rate.node, ...(rows && { rows }) };
}

/** An hour in seconds. */
const HOUR: Rational = rational(3600);

/** The amount of a restored formula, put together as it was when it was read; it has to measure one of `expected`. */
export function measuredFrom(
  node: AmountNode,
  concentration: WrittenQuantity | undefined,
  path: string,
  expected: readonly Dimension[],
): Amount {
  const amount = amountOfNode(node, concentration);
  if (!amount) throw new Senseless(`the units in ${path} do not fit together`);
  if (expected.some((dimension) => sameDimension(dimension, amount.dimension))) return amount;
  throw new Senseless(`${path} is ${dimensionName(amount.dimension)}`);
}
