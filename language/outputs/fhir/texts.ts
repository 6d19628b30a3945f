import { plainCharacters } from "@limbwright/shared/text";
import type { CodeableConcept } from "./resources.ts";

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
