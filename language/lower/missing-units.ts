import type { Origin, Repair } from "@limbwright/shared/finding";
import {
  AGE,
  type Dimension,
  LENGTH,
  PRESSURE,
  sameDimension,
  TIME,
  UNITS,
  unitWithCode,
  WEIGHT,
} from "@limbwright/shared/quantity";
import { writeInstead } from "../model/text-changes.ts";

/** What no dose is measured in. */
const NEVER_A_DOSE: readonly Dimension[] = [TIME, AGE, WEIGHT, PRESSURE, LENGTH];

/**
 * One repair for each unit that fits behind a number. None where a dose or a strength may be meant, which would be ten or a thousand
 * times as much by the wrong guess.
 */
export function withUnits(
  origin: Origin,
  number: string | undefined,
  expected: readonly Dimension[],
): Repair[] {
  const isOneOf = (dimension: Dimension, some: readonly Dimension[]) =>
    some.some((one) => sameDimension(one, dimension));
  if (number === undefined || !expected.every((one) => isOneOf(one, NEVER_A_DOSE))) return [];
  const fit = UNITS.filter((unit) => isOneOf(unit.dimension, expected) && unitWithCode(unit.ucum) === unit);
  return fit.flatMap(({ symbol }) => writeInstead(origin, `${number} ${symbol}`));
}
