import type { PatientEvidence } from "@limbwright/shared/finding";
import { decimalText, fromBase, quantityText, type Rational } from "@limbwright/shared/quantity";
import { type Broken, patientText, regionText, type Witness } from "../../population/index.ts";

/** The patients of a broken comparison in words; `says` tells what happens to one of them. */
export function evidenceOf(broken: Broken, says: (witness: Witness) => string): PatientEvidence {
  const { worst, clean, regions } = broken;
  return {
    ranges: regions.map(regionText),
    exact: regions.every((region) => region.exact),
    everybody: regions.some((region) => region.everybody),
    ...(worst.kind !== "endless" && {
      worst: {
        patient: `${worst.kind === "approached" ? "next to " : ""}${patientText(worst.patient) || "every patient"}`,
        says: says(worst),
      },
    }),
    example: { patient: patientText(clean.patient) || "every patient", says: says(clean) },
  };
}

/** "200 mg = 4.44 mg/kg, 0.44 mg/kg over": an amount and its excess over a limit per weight. */
export function perWeightText(witness: Witness, unit: string): string {
  const weight = witness.patient.weight;
  // Where the text does not say who is covered, the patient found may have no weight at all.
  if (!weight || weight.equals(0)) return absoluteText(witness, unit);
  const each = (value: Rational) => `${decimalText(value.div(weight)).text} ${unit}/kg`;
  return `${amountText(witness.left, unit)} = ${each(witness.left)}, ${each(witness.excess)} over`;
}

/** "500 mg, 200 mg over". */
export function absoluteText(witness: Witness, unit: string): string {
  return `${amountText(witness.left, unit)}, ${amountText(witness.excess, unit)} over`;
}

export function amountText(value: Rational, unit: string): string {
  return quantityText(fromBase(value, unit));
}
