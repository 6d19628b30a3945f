import type { Origin } from "@limbwright/shared/finding";
import {
  exactText,
  type Interval,
  type Quantity,
  type Rational,
  rational,
  type Unit,
  unitOf,
  unitWithCode,
} from "@limbwright/shared/quantity";
import { baseInterval, canonicalText, type Measure } from "@limbwright/shared/rule-file";
import type { WrittenQuantity, WrittenRange } from "../model/index.ts";

/** What a file says does not make sense, although the schema allows it. */
export class Senseless extends Error {}

interface FileRange<Code extends string> {
  readonly unit: Code;
  readonly lower?: { readonly value: string; readonly closed: boolean };
  readonly upper?: { readonly value: string; readonly closed: boolean };
}

/** A quantity as written, with its unit's UCUM code. */
export function fileQuantity({ value, unit }: Quantity): Measure {
  return { value: exactText(value), unit: unit.ucum };
}

export function quantityFrom({ value, unit }: Measure, origin: Origin): WrittenQuantity {
  return { value: rational(value), unit: unitFrom(unit), origin };
}

/** The unit of a UCUM code, in its usual spelling. */
export function unitFrom(code: string): Unit {
  return unitWithCode(code) ?? noUnit(code);
}

function noUnit(code: string): never {
  throw new Senseless(`no unit has the code ${code}`);
}

/** A range as written. */
export function fileRange({ interval, unit }: WrittenRange): FileRange<string> {
  const written = unitOf(unit);
  if (!written) throw new Error(`a range is written in the unit "${unit}", which does not exist`);
  return rangeInUnit(interval, written);
}

export function rangeFrom(range: FileRange<string>, origin: Origin): WrittenRange {
  const interval = baseInterval(range) ?? noUnit(range.unit);
  return { interval, unit: unitFrom(range.unit).symbol, origin };
}

/** A range in base units, told in a unit of them. */
export function rangeInUnit<Code extends string>({ lower, upper }: Interval, unit: Unit): FileRange<Code> {
  return {
    unit: unit.ucum as Code,
    ...(lower && { lower: { value: exactText(lower.value.div(unit.perBase)), closed: lower.closed } }),
    ...(upper && { upper: { value: exactText(upper.value.div(unit.perBase)), closed: upper.closed } }),
  };
}

export function exactSeconds(seconds: Rational) {
  return { value: exactText(seconds), unit: "s" } as const;
}

/** What the author may write in any order, in an order that does not depend on it. */
export function inFixedOrder<T>(parts: readonly T[]): T[] {
  return parts
    .map((part) => ({ part, text: canonicalText(part) }))
    .sort((a, b) => compareTexts(a.text, b.text))
    .map(({ part }) => part);
}

/** The same for parts that are known by their names. */
export function byName<T extends { readonly name: string }>(parts: readonly T[]): T[] {
  return [...parts].sort((a, b) => compareTexts(a.name, b.name));
}

/** By UTF-16 units, as RFC 8785 orders keys: the same on every machine, whatever its language. */
export function compareTexts(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
