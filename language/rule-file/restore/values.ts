import type { Origin } from "@limbwright/shared/finding";
import { type Interval, type Rational, rational, type Unit, unitWithCode } from "@limbwright/shared/quantity";
import { baseInterval, type Duration as FileDuration } from "@limbwright/shared/rule-file";
import type { Duration, WrittenQuantity, WrittenRange } from "../../model/index.ts";
import type { FileQuantity, FileRange } from "../values.ts";

/** What a file says does not make sense, although the schema allows it. */
export class Senseless extends Error {}

export function quantityFrom({ value, unit }: FileQuantity<string>, origin: Origin): WrittenQuantity {
  return { value: rational(value), unit: unitFrom(unit), origin };
}

/** The unit of a UCUM code, in its usual spelling. */
export function unitFrom(code: string): Unit {
  return unitWithCode(code) ?? noUnit(code);
}

function noUnit(code: string): never {
  throw new Senseless(`no unit has the code ${code}`);
}

export function rangeFrom(range: FileRange<string>, origin: Origin): WrittenRange {
  return { interval: intervalFrom(range), unit: unitFrom(range.unit).symbol, origin };
}

/** A range in base units. */
export function intervalFrom(range: FileRange<string>): Interval {
  return baseInterval(range) ?? noUnit(range.unit);
}

export function durationFrom({ shortest, longest }: FileDuration, origin: Origin): Duration {
  const seconds = ({ value }: { readonly value: string }): Rational => rational(value);
  return { shortest: seconds(shortest), ...(longest && { longest: seconds(longest) }), origin };
}
