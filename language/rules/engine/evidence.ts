import type { Origin, PatientEvidence } from "@limbwright/shared/finding";
import { decimalText, fromBase, quantityText, type Rational } from "@limbwright/shared/quantity";
import {
  type Box,
  type Broken,
  compare,
  type Expression,
  type Measure,
  patientText,
  type Region,
  type Relation,
  regionText,
  type Witness,
} from "../../population/index.ts";
import type { RuleContext } from "./definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "./judgement.ts";

/** What is asked of every patient: that an amount stands to a limit as it should. */
export interface PatientsQuestion {
  readonly amount: Expression;
  readonly is: Relation;
  readonly limit: Expression | Rational;
  /** Whom it is asked of, where that is not everybody whom the protocol covers. */
  readonly box?: Box;
  readonly measure?: Measure;
  /** What the answer is about where it is not decided. */
  readonly origin: Origin | undefined;
}

/** Judges an amount for every patient, and tells of those for whom it is not as it should be. */
export function judgePatients(
  context: RuleContext,
  { amount, is, limit, box = context.box, measure, origin }: PatientsQuestion,
  tell: (broken: Broken) => Detected,
): Judgement {
  const held: Expression = "kind" in limit ? limit : { kind: "constant", value: limit };
  const answer = compare(amount, is, held, box, {
    cancelled: context.isCancelled,
    ...(measure && { measure }),
  });
  if (answer.kind === "holds") return HOLDS;
  return answer.kind === "broken" ? found(tell(answer)) : undecided(answer.limit, origin);
}

/** The patients of a broken comparison in words; `says` tells what happens to one of them. */
export function evidenceOf(broken: Broken, says: (witness: Witness) => string): PatientEvidence {
  const { worst, clean, regions } = broken;
  return {
    ...whom(regions),
    ...(worst.kind !== "endless" && {
      worst: {
        patient: `${worst.kind === "approached" ? "next to " : ""}${patientText(worst.patient) || "every patient"}`,
        says: says(worst),
      },
    }),
    example: { patient: patientText(clean.patient) || "every patient", says: says(clean) },
  };
}

/** The patients of some regions, without an example. */
export function whom(regions: readonly Region[]): Pick<PatientEvidence, "ranges" | "exact" | "everybody"> {
  return {
    ranges: regions.map(regionText),
    exact: regions.every(({ exact }) => exact),
    everybody: regions.some(({ everybody }) => everybody),
  };
}

/** "200 mg = 4.44 mg/kg, 0.44 mg/kg over": an amount and its excess over a limit per weight. */
export function perWeightText(witness: Witness, unit: string): string {
  const weight = witness.patient.weight;
  // Where the text does not say who is covered, the patient found may have no weight at all.
  if (!weight || weight.equals(0)) return absoluteText(witness, unit);
  const each = (value: Rational) => `${decimalText(fromBase(value, unit).value.div(weight)).text} ${unit}/kg`;
  return `${amountText(witness.left, unit)} = ${each(witness.left)}, ${each(witness.excess)} over`;
}

/** "500 mg, 200 mg over". */
export function absoluteText(witness: Witness, unit: string): string {
  return `${amountText(witness.left, unit)}, ${amountText(witness.excess, unit)} over`;
}

export function amountText(value: Rational, unit: string): string {
  return quantityText(fromBase(value, unit));
}
