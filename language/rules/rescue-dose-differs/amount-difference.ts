import type { Origin, PatientEvidence, Severity } from "@limbwright/shared/finding";
import { decimalText, type Rational, rational } from "@limbwright/shared/quantity";
import {
  type Box,
  type Broken,
  type Comparison,
  compare,
  type Expression,
  regionsText,
  type Witness,
} from "../../population/index.ts";
import { amountText, evidenceOf } from "../engine/evidence.ts";
import { type Given, TOLERANCE } from "./schemes.ts";

/** A part of the rescue as the protocol writes it: from `low` to `high`, in mL or mL/s. */
export interface WrittenAmount {
  readonly low: Expression;
  readonly high: Expression;
  /** The unit it is told in. */
  readonly unit: "mL" | "mL/h";
  readonly origin: Origin;
}

/** How an amount differs from a scheme, and for whom. */
export interface AmountDifference {
  /** "less for 45 kg to under 50 kg; more for …" */
  readonly words: string;
  readonly severity: Severity;
  readonly evidence: PatientEvidence;
}

const ONE = rational(1);

/** Undefined when the amount is the scheme's, within the tolerance, for every patient. */
export function amountDifference(
  written: WrittenAmount,
  given: Given,
  box: Box,
  cancelled: () => boolean,
): AmountDifference | { readonly limit: string } | undefined {
  const least = scaleBy(given.low, ONE.sub(TOLERANCE));
  const most = scaleBy(given.high, ONE.add(TOLERANCE));
  const under = compare(written.low, "at-least", least, box, { cancelled });
  const over = compare(written.high, "at-most", most, box, { cancelled });
  const limit = limitOf(under) ?? limitOf(over);
  if (limit !== undefined) return { limit };
  const sides = [
    ...(under.kind === "broken" ? [{ word: "less", broken: under, factor: ONE.sub(TOLERANCE) }] : []),
    ...(over.kind === "broken" ? [{ word: "more", broken: over, factor: ONE.add(TOLERANCE) }] : []),
  ];
  const [first] = sides;
  if (!first) return undefined;
  const evidences = sides.map(({ broken, word, factor }) =>
    evidenceOf(broken, (witness) => differenceText(witness, word, factor, written.unit)),
  );
  return {
    words: sides.map(({ word, broken }) => `${word} for ${regionsText(broken.regions)}`).join("; "),
    severity: sides.some(({ broken, factor }) => isFarOff(broken, factor)) ? "unsafe" : "doubtful",
    evidence: together(evidences),
  };
}

function limitOf(comparison: Comparison): string | undefined {
  return comparison.kind === "not-decided" ? comparison.limit : undefined;
}

export function scaleBy(of: Expression, factor: Rational): Expression {
  return { kind: "scaled", factor, of };
}

/** "150 mL, published 100 mL: 50 % more"; the right side of the witness is the published value by `factor`. */
function differenceText({ left, right }: Witness, word: string, factor: Rational, unit: string): string {
  const published = right.div(factor);
  const told = `${amountText(left, unit)}, published ${amountText(published, unit)}`;
  if (published.compare(0) === 0) return told;
  const percent = left.sub(published).abs().div(published).mul(100);
  return `${told}: ${decimalText(percent, 0).text} % ${word}`;
}

/** Less than half, or more than twice, of the published value for some patient. */
function isFarOff({ worst, clean }: Broken, factor: Rational): boolean {
  if (worst.kind === "endless") return true;
  return [worst, clean].some(({ left, right }) => {
    const published = right.div(factor);
    return left.mul(2).compare(published) < 0 || left.compare(published.mul(2)) > 0;
  });
}

function together(evidences: readonly PatientEvidence[]): PatientEvidence {
  const [first] = evidences;
  if (!first) throw new Error("there is no evidence of a difference");
  return {
    ...first,
    ranges: evidences.flatMap(({ ranges }) => ranges),
    exact: evidences.every(({ exact }) => exact),
    everybody: evidences.some(({ everybody }) => everybody),
  };
}
