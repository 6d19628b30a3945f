import { decimalText, floorTo, type Rational, ratio, thousands } from "@limbwright/shared/quantity";

/** Decimals of an amount in a table: a syringe shows no more. */
const PLACES = 2;

/** A number for a reader, never more than it is: at most two decimals, no trailing zero, commas in thousands. */
export function atMost(value: Rational): string {
  return writeNumber(floorTo(value, ratio(1, 10 ** PLACES)));
}

/** A number for a reader, never less than it is: for what is held against a maximum. */
export function atLeast(value: Rational): string {
  return writeNumber(floorTo(value.neg(), ratio(1, 10 ** PLACES)).neg());
}

function writeNumber(value: Rational): string {
  const [whole = "0", fraction] = decimalText(value, PLACES).text.split(".");
  return fraction ? `${thousands(whole)}.${fraction}` : thousands(whole);
}
