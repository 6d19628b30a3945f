import { UNITS, unitOf } from "../quantity/index.ts";
import type { Measure } from "../rule-file/measures.ts";

/** A measure as a record writes it: "70 kg", or "70" in the usual unit. Undefined where that is no number with a unit. */
export function readMeasure(text: string, usual: string): Measure | undefined {
  const [, value, symbol] = /^\s*(\d{1,9}(?:\.\d{1,9})?)\s*(\S.*?)?\s*$/.exec(text) ?? [];
  if (value === undefined) return undefined;
  const written = symbol ?? usual;
  const unit = unitOf(written) ?? UNITS.find(({ ucum }) => ucum === written);
  return unit && { value, unit: unit.ucum };
}
