import type { Rational } from "@limbwright/shared/quantity";
import { compare, type Expression, patientText, regionText, type Witness } from "../population/index.ts";
import { amountText } from "../rules/engine/evidence.ts";
import type { PatientExample, PatientsConcerned } from "./change.ts";
import { isWrittenAlike } from "./same.ts";
import type { Covered } from "./side.ts";

/** How an amount, a limit or a pressure changed over the patients of a box. */
export interface AmountDifference {
  readonly more?: PatientsConcerned;
  readonly less?: PatientsConcerned;
  /** Why it could not be decided. */
  readonly limit?: string;
  /** Whether it is the same for whom both cover, and another for some whom only the later version covers. */
  readonly forOthers?: true;
}

/** What more and less are called, and what they do. */
export interface Directions {
  readonly unit: string;
  readonly more: string;
  readonly less: string;
  readonly moreIs: PatientsConcerned["side"];
  readonly lessIs: PatientsConcerned["side"];
}

/** Holds two functions of the patient against each other, exactly, over every patient whom both versions cover. */
export function amountDifference(
  before: Expression,
  now: Expression,
  { both: box, now: covered }: Covered,
  directions: Directions,
): AmountDifference {
  if (isWrittenAlike(before, now)) return {};
  if (!box) return { limit: "no patient is covered by both versions" };
  const { unit, more, less, moreIs, lessIs } = directions;
  const upwards = compare(now, "at-most", before, box);
  const downwards = compare(now, "at-least", before, box);
  const limits = [upwards, downwards].flatMap((one) => (one.kind === "not-decided" ? [one.limit] : []));
  const concerned = (
    broken: typeof upwards,
    direction: string,
    side: PatientsConcerned["side"],
    word: string,
  ): PatientsConcerned | undefined => {
    if (broken.kind !== "broken") return undefined;
    const { regions, clean, worst } = broken;
    const told = (witness: Witness): PatientExample => exampleOf(witness, unit, word);
    const example = told(clean);
    const greatest = worst.kind === "attained" ? told(worst) : undefined;
    return {
      kind: "patients",
      direction,
      side,
      ranges: regions.map(regionText),
      exact: regions.every(({ exact }) => exact),
      everybody: regions.some(({ everybody }) => everybody),
      example,
      ...(greatest && greatest.patient !== example.patient && { greatest }),
    };
  };
  const rising = concerned(upwards, more, moreIs, "more");
  const falling = concerned(downwards, less, lessIs, "less");
  if (!rising && !falling && limits.length === 0) {
    const elsewhere = compare(now, "equal", before, covered);
    return elsewhere.kind === "holds" ? {} : { forOthers: true };
  }
  return {
    ...(rising && { more: rising }),
    ...(falling && { less: falling }),
    ...(limits[0] !== undefined && { limit: limits[0] }),
  };
}

/** The witness holds the later amount on its left, the earlier one on its right. */
function exampleOf({ patient, left, right, excess }: Witness, unit: string, word: string): PatientExample {
  const told = (value: Rational) => amountText(value, unit);
  return {
    patient: patientText(patient) || "every patient",
    before: told(right),
    now: told(left),
    difference: `${told(excess)} ${word}`,
  };
}

/** What is known of a difference, as evidence. */
export function evidenceIn({ more, less }: AmountDifference): PatientsConcerned[] {
  return [more, less].filter((one) => one !== undefined);
}

/** For the sentence about an amount that is another only for patients whom the earlier version did not cover. */
export const FOR_OTHERS =
  "It is the same for the patients whom both versions cover, and another for some whom only the new one covers.";
