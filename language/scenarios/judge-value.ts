import {
  decimalText,
  fromBase,
  inBase,
  isA,
  MASS,
  type Quantity,
  quantityText,
  rational,
} from "@limbwright/shared/quantity";
import { baseValue, type Measure } from "@limbwright/shared/rule-file";
import type { Case } from "@limbwright/shared/runtime";
import type { WrittenQuantity } from "../model/index.ts";
import type { ExpectationOutcome } from "./result.ts";

/** Whether a dose is what is expected for the patient of the case, exactly. */
export function judgeDose(now: Case, dose: string, value: WrittenQuantity): ExpectationOutcome {
  const expected = `\`${dose}\` is ${quantityText(value)}`;
  const { amount, rate } = now.dose(dose) ?? {};
  const given = isA(value, MASS) ? amount?.mass : amount?.volume;
  if (given) return judge(expected, given, value, `\`${dose}\` is `);
  if (amount) {
    return notDecided(
      expected,
      `\`${dose}\` has no single concentration, so its mass cannot be told from its volume.`,
    );
  }
  if (rate) return notDecided(expected, `\`${dose}\` is given at a rate, so it is no single amount.`);
  return notDecided(expected, withoutMeasure(`\`${dose}\``));
}

/** Whether the pressure of the cuffs is what is expected for the patient of the case, exactly. */
export function judgePressure({ pressure }: Case, value: WrittenQuantity): ExpectationOutcome {
  const expected = `the pressure is ${quantityText(value)}`;
  return pressure
    ? judge(expected, pressure, value, "the pressure is ")
    : notDecided(expected, withoutMeasure("the pressure"));
}

function withoutMeasure(what: string): string {
  return `What ${what} is cannot be told for this patient: say with \`patient\` all that it rests on.`;
}

function judge(expected: string, given: Measure, value: WrittenQuantity, what: string): ExpectationOutcome {
  const exact = baseValue(given) ?? rational(given.value);
  const isSame = exact.equals(inBase(value));
  const found = `${what}${exactWords(fromBase(exact, value.unit.symbol))}`;
  return { outcome: isSame ? "passed" : "failed", expected, found };
}

/** A value that two decimals cannot write is said to be rounded, for it is compared exactly. */
function exactWords(found: Quantity): string {
  return `${quantityText(found)}${decimalText(found.value).rounded ? " (rounded)" : ""}`;
}

function notDecided(expected: string, limit: string): ExpectationOutcome {
  return { outcome: "not-decided", expected, limit };
}
