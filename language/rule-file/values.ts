import { exactText, type Interval, type Quantity, type Unit, unitOf } from "@limbwright/shared/quantity";
import { canonicalText, type Duration as FileDuration } from "@limbwright/shared/rule-file";
import type { Duration, WrittenRange } from "../model/index.ts";

/** A quantity of the file; the schema says which units may stand where. */
export interface FileQuantity<Code extends string> {
  readonly value: string;
  readonly unit: Code;
}

/** A quantity as written, with its unit's UCUM code. */
export function fileQuantity<Code extends string>({ value, unit }: Quantity): FileQuantity<Code> {
  return { value: exactText(value), unit: unit.ucum as Code };
}

export interface FileRange<Code extends string> {
  unit: Code;
  lower?: { value: string; closed: boolean };
  upper?: { value: string; closed: boolean };
}

/** A range as written. */
export function fileRange<Code extends string>({ interval, unit }: WrittenRange): FileRange<Code> {
  const written = unitOf(unit);
  if (!written) throw new Error(`a range is written in the unit "${unit}", which does not exist`);
  return rangeInUnit(interval, written);
}

/** A range in base units, told in a unit of them. */
export function rangeInUnit<Code extends string>({ lower, upper }: Interval, unit: Unit): FileRange<Code> {
  return {
    unit: unit.ucum as Code,
    ...(lower && { lower: { value: exactText(lower.value.div(unit.perBase)), closed: lower.closed } }),
    ...(upper && { upper: { value: exactText(upper.value.div(unit.perBase)), closed: upper.closed } }),
  };
}

export function fileDuration({ shortest, longest }: Duration): FileDuration {
  return {
    shortest: { value: exactText(shortest), unit: "s" },
    ...(longest && { longest: { value: exactText(longest), unit: "s" } }),
  };
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

/** The same value, typed as the file's types are: without `readonly`. Nobody changes it. */
export type InFileTypes<T> = T extends readonly (infer Item)[]
  ? InFileTypes<Item>[]
  : T extends object
    ? { -readonly [Key in keyof T]: InFileTypes<T[Key]> }
    : T;

export function inFileTypes<T>(value: T): InFileTypes<T> {
  return value as InFileTypes<T>;
}
