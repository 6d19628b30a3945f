import { contains } from "@limbwright/shared/quantity";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Cell, splitCell } from "../../../language/population/cell.ts";
import {
  type Box,
  type Expression,
  evaluate,
  findExtremes,
  type Patient,
  piecesOf,
  VARIABLES,
} from "../../../language/population/index.ts";
import { valueAt } from "../../../language/population/linear.ts";
import { firstSeed, howMany } from "../../questions.ts";
import { interestingPatients } from "../../solver/interesting-patients.ts";
import { randomFrom } from "../../solver/random.ts";
import { randomQuestion } from "../../solver/random-expression.ts";
import { findUndefined } from "./find-undefined.ts";

/** An expression over a box, from a seed of its own that a failure prints. */
const expressions = fc.nat(2 ** 31 - 1).map((seed) => {
  const { left, box } = randomQuestion(randomFrom(seed));
  return { seed, expression: left, box };
});

/** The check tells whether the case was decided at all; nearly all must be. */
function holdsFor(check: (expression: Expression, box: Box) => boolean, all: number): void {
  const runs = howMany(all);
  let decided = 0;
  fc.assert(
    fc.property(expressions, ({ expression, box }) => {
      if (check(expression, box)) decided += 1;
    }),
    { seed: firstSeed(), numRuns: runs },
  );
  expect(decided).toBeGreaterThan(runs * 0.9);
}

function isIn(cell: Cell, patient: Patient): boolean {
  const inBox = VARIABLES.every((variable) => {
    const value = patient[variable];
    return !value || contains(cell.box[variable] ?? {}, value);
  });
  return (
    inBox &&
    cell.slanted.every(({ form, strict }) => {
      const order = valueAt(form, patient).compare(0);
      return strict ? order > 0 : order >= 0;
    })
  );
}

describe("pieces", () => {
  test("every patient lies in exactly one piece, which has the patient's value, or is named as without", () => {
    holdsFor((expression, box) => {
      const cut = piecesOf(expression, box);
      if (cut.kind === "not-decided") return false;
      for (const patient of interestingPatients([expression], box)) {
        const inside = cut.pieces.filter(({ cell }) => isIn(cell, patient));
        const without = cut.without.filter((cell) => isIn(cell, patient));
        const value = evaluate(expression, patient);
        expect(inside.length + without.length).toBe(1);
        expect(inside[0] && valueAt(inside[0].value, patient).toFraction()).toBe(value?.toFraction());
      }
      return true;
    }, 600);
  });

  test("constraints in one direction do not pile up", () => {
    holdsFor((expression, box) => {
      const cut = piecesOf(expression, box);
      if (cut.kind === "not-decided") return false;
      for (const { cell } of cut.pieces) expect(cell.slanted.length).toBeLessThan(20);
      return true;
    }, 3_000);
  });

  test("a cell cut by its own value falls into parts that share nobody", () => {
    holdsFor((expression, box) => {
      const cut = piecesOf(expression, box);
      if (cut.kind === "not-decided") return false;
      const patients = interestingPatients([expression], box);
      for (const { cell, value } of cut.pieces.slice(0, 3)) {
        const { atLeast, below } = splitCell(cell, value);
        for (const patient of patients.filter((one) => isIn(cell, one))) {
          const isNegative = valueAt(value, patient).compare(0) < 0;
          expect(below !== undefined && isIn(below, patient)).toBe(isNegative);
          expect(atLeast !== undefined && isIn(atLeast, patient)).toBe(!isNegative);
        }
      }
      return true;
    }, 600);
  });
});

test("nobody is above the greatest value or below the least, and who attains one has it", () => {
  holdsFor((expression, box) => {
    const ends = findExtremes(expression, box);
    if (ends.kind === "not-decided" || ends.least.kind === "endless" || ends.greatest.kind === "endless")
      return false;
    for (const patient of interestingPatients([expression], box)) {
      const value = evaluate(expression, patient);
      if (!value) continue;
      expect(value.compare(ends.greatest.value)).toBeLessThanOrEqual(
        ends.greatest.kind === "attained" ? 0 : -1,
      );
      expect(value.compare(ends.least.value)).toBeGreaterThanOrEqual(ends.least.kind === "attained" ? 0 : 1);
    }
    for (const end of [ends.least, ends.greatest]) {
      if (end.kind !== "attained") continue;
      expect(evaluate(expression, end.patient)?.toFraction()).toBe(end.value.toFraction());
    }
    return true;
  }, 600);
});

test("the patients without a value are exactly those that evaluation leaves without one", () => {
  holdsFor((expression, box) => {
    const found = findUndefined(expression, box);
    if (found.kind === "not-decided") return false;
    for (const patient of interestingPatients([expression], box)) {
      const inside = found.regions.filter(({ ranges }) => isIn({ box: ranges, slanted: [] }, patient));
      if (evaluate(expression, patient) === undefined) expect(inside.length).toBeGreaterThan(0);
      else expect(inside.filter(({ exact }) => exact)).toEqual([]);
    }
    return true;
  }, 1_000);
});
