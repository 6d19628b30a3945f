import {
  type Dimension,
  inBase,
  intersection,
  isEmpty,
  quantityText,
  VOLUME,
} from "@limbwright/shared/quantity";
import type { Maximum } from "../model/index.ts";
import type { Box, Expression } from "../population/index.ts";
import { rangeText } from "../population/index.ts";

/** The limit as a function of the patient, in mg, or in mL where it is a volume. */
export function limitExpression({ limit }: Maximum): Expression {
  const base = inBase(limit);
  return isPerWeight(limit.unit.dimension)
    ? { kind: "scaled", factor: base, of: { kind: "variable", variable: "weight" } }
    : { kind: "constant", value: base };
}

export function isPerWeight(dimension: Dimension): boolean {
  return dimension.weight === -1;
}

/** Whether the limit is on a volume (mL, mL/kg) and not on a mass. */
export function isVolumeLimit({ limit }: Maximum): boolean {
  return limit.unit.dimension.volume === VOLUME.volume;
}

/** The limit in words: "4 mg/kg", "3 mg/kg for age under 12 years". */
export function limitText({ limit, ages }: Maximum): string {
  return ages ? `${quantityText(limit)} for age ${rangeText(ages, "years")}` : quantityText(limit);
}

/** The patients of the box for whom the limit holds; undefined when it holds for none of them. */
export function patientsUnder(box: Box, { ages }: Maximum): Box | undefined {
  if (!ages) return box;
  const age = box.age ? intersection(box.age, ages) : ages;
  return isEmpty(age) ? undefined : { ...box, age };
}
