import type { Origin } from "@limbwright/shared/finding";
import { type Interval, type Rational, rational, UNITS, type Unit } from "@limbwright/shared/quantity";
import type { Duration as FileDuration } from "@limbwright/shared/rule-file";
import type { Duration, WrittenQuantity, WrittenRange } from "../../../model/index.ts";
import type { FileQuantity, FileRange } from "../values.ts";

/** What a file says does not make sense, although the schema allows it. */
export class Senseless extends Error {}

export function quantityFrom({ value, unit }: FileQuantity<string>, origin: Origin): WrittenQuantity {
  return { value: rational(value), unit: unitFrom(unit), origin };
}

/** The unit of a UCUM code, in its usual spelling. */
export function unitFrom(code: string): Unit {
  const unit = UNITS.find(({ ucum }) => ucum === code);
  if (!unit) throw new Senseless(`no unit has the code ${code}`);
  return unit;
}

export function rangeFrom(range: FileRange<string>, origin: Origin): WrittenRange {
  return { interval: intervalFrom(range), unit: unitFrom(range.unit).symbol, origin };
}

/** A range in base units. */
export function intervalFrom({ unit, lower, upper }: FileRange<string>): Interval {
  const { perBase } = unitFrom(unit);
  const edge = ({ value, closed }: NonNullable<typeof lower>) => ({
    value: rational(value).mul(perBase),
    closed,
  });
  return { ...(lower && { lower: edge(lower) }), ...(upper && { upper: edge(upper) }) };
}

export function durationFrom({ shortest, longest }: FileDuration, origin: Origin): Duration {
  const seconds = ({ value }: { readonly value: string }): Rational => rational(value);
  return { shortest: seconds(shortest), ...(longest && { longest: seconds(longest) }), origin };
}
