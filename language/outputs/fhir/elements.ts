import {
  AGE,
  type Endpoint,
  exactText,
  type Quantity,
  type Rational,
  requireUnit,
  sameDimension,
  type Unit,
} from "@limbwright/shared/quantity";
import { plainCharacters } from "@limbwright/shared/text";
import type { Duration, WrittenRange } from "../../model/index.ts";
import type { CodeableConcept, Quantity as FhirQuantity, Range, Timing } from "./resources.ts";

/**
 * A text of the protocol as a FHIR string: shown letter for letter, with what would act on a terminal made visible. An
 * empty one is no FHIR string, so it is said to be empty.
 */
export function stringOf(text: string): string {
  const plain = plainCharacters(text).trim();
  return plain === "" ? "(no text)" : plain;
}

/** A concept that has words and no code. */
export function inWords(text: string): CodeableConcept {
  return { text: stringOf(text) };
}

export function codeableConcept(system: string, code: string): CodeableConcept {
  return { coding: [{ system, code }] };
}

/** A member of a resource that is left out where it is empty: FHIR has no empty lists. */
export function unlessEmpty<Key extends string, T>(
  key: Key,
  values: readonly T[],
): Partial<Record<Key, readonly T[]>> {
  return (values.length === 0 ? {} : { [key]: values }) as Partial<Record<Key, readonly T[]>>;
}

/** Units: https://hl7.org/fhir/R4/terminologies-systems.html. */
const UCUM = "http://unitsofmeasure.org";
/** Drugs, by the Anatomical Therapeutic Chemical classification: the same page. */
export const ATC = "http://www.whocc.no/atc";
/** Measures of a patient; the codes are those of the vital signs, https://hl7.org/fhir/R4/observation-vitalsigns.html. */
export const LOINC = "http://loinc.org";
/** What a definition is for: https://hl7.org/fhir/R4/codesystem-usage-context-type.html. */
export const USAGE_CONTEXT = "http://terminology.hl7.org/CodeSystem/usage-context-type";
/** Kinds of plans: https://hl7.org/fhir/R4/codesystem-plan-definition-type.html. */
export const PLAN_TYPE = "http://terminology.hl7.org/CodeSystem/plan-definition-type";
/** What an action does: https://hl7.org/fhir/R4/codesystem-action-type.html. */
export const ACTION_TYPE = "http://terminology.hl7.org/CodeSystem/action-type";

/** Steps, by the word of the language that begins them. */
export const STEP = "urn:limbwright:step";
/** What is in place before the first step. */
export const PREPARATION = "urn:limbwright:preparation";
/** Measures of a patient that LOINC is not used for. */
export const MEASURE = "urn:limbwright:measure";
/** How a part of a protocol was kept that FHIR has no element for. */
export const KEPT = "urn:limbwright:kept";
/** Rules of the catalogue. */
export const RULE = "urn:limbwright:rule";
export const MEANING = "urn:limbwright:meaning";
export const PROOF = "urn:limbwright:proof";
export const PROTOCOL = "urn:limbwright:protocol";

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

/** A range as FHIR has it: its ends belong to it, and ages are completed years or months. Undefined where an end of this one does not, or is not exact. */
export function rangeOf({ interval, unit: symbol }: WrittenRange): Range | undefined {
  const unit = requireUnit(symbol);
  const { lower } = interval;
  const upper =
    interval.upper && sameDimension(unit.dimension, AGE) ? lastAge(interval.upper, unit) : interval.upper;
  if (lower?.closed === false || upper?.closed === false) return undefined;
  const low = lower && quantityOf({ value: lower.value.div(unit.perBase), unit });
  const high = upper && quantityOf({ value: upper.value.div(unit.perBase), unit });
  if ((lower && !low) || (upper && !high)) return undefined;
  return { ...(low && { low }), ...(high && { high }) };
}

function lastAge({ value, closed }: Endpoint, unit: Unit): Endpoint {
  return closed ? { value, closed } : { value: value.sub(unit.perBase), closed: true };
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
