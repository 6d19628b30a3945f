import { exactText, type Quantity, type Rational, requireUnit } from "@limbwright/shared/quantity";
import type { Duration, WrittenRange } from "../../model/index.ts";
import type { Quantity as FhirQuantity, Range, Timing } from "./resources.ts";
import { UCUM } from "./systems.ts";

/**
 * A quantity as FHIR has it, with its UCUM code; undefined where a JSON number would not be exactly that value, as for a
 * third of a millilitre.
 */
export function quantityOf({ value, unit }: Quantity): FhirQuantity | undefined {
  const number = numberOf(value);
  return number === undefined
    ? undefined
    : { value: number, unit: unit.symbol, system: UCUM, code: unit.ucum };
}

/** A range as FHIR has it: its ends belong to it. Undefined where an end of this one does not, or is not exact. */
export function rangeOf({ interval, unit: symbol }: WrittenRange): Range | undefined {
  const unit = requireUnit(symbol);
  const { lower, upper } = interval;
  if (lower?.closed === false || upper?.closed === false) return undefined;
  const low = lower && quantityOf({ value: lower.value.div(unit.perBase), unit });
  const high = upper && quantityOf({ value: upper.value.div(unit.perBase), unit });
  if ((lower && !low) || (upper && !high)) return undefined;
  return { ...(low && { low }), ...(high && { high }) };
}

/** How long something takes; undefined where it has no longest time, which FHIR cannot say. */
export function lastingOf({ shortest, longest }: Duration): Timing["repeat"] | undefined {
  if (!longest) return undefined;
  const isInMinutes = [shortest, longest].every((time) => time.mod(60).equals(0));
  const [least, most] = [shortest, longest].map((time) => numberOf(isInMinutes ? time.div(60) : time));
  if (least === undefined || most === undefined) return undefined;
  return {
    duration: least,
    ...(most !== least && { durationMax: most }),
    durationUnit: isInMinutes ? "min" : "s",
  };
}

/** Once every so often. */
export function everyOf({ value, unit }: Quantity): Timing["repeat"] | undefined {
  const period = numberOf(value);
  return period === undefined ? undefined : { period, periodUnit: unit.ucum };
}

/** The value as a JSON number, where its decimal text is exactly the value. */
function numberOf(value: Rational): number | undefined {
  const text = exactText(value);
  const number = Number(text);
  return String(number) === text ? number : undefined;
}
