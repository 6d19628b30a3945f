import { type Rational, rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import {
  type Expression,
  evaluate,
  type Patient,
  rangeText,
  segmentsOf,
  type Variable,
  valueOn,
} from "../../../language/population/index.ts";
import {
  bands,
  constant,
  greater,
  lesser,
  perKg,
  range,
  roundedDown,
  scaled,
  variable,
} from "./expressions.ts";

const WEIGHTS = range("[45, 130]");

function lines(expression: Expression, others: Patient = {}, along: Variable = "weight"): string[] {
  const answer = segmentsOf(expression, along, WEIGHTS, others);
  if (answer.kind !== "segments") throw new Error(answer.limit);
  return answer.segments.map(
    ({ range: part, constant: start, slope }) =>
      `${rangeText(part, "kg")}: ${start.toFraction()} + ${slope.toFraction()}w`,
  );
}

test("a capped dose rises to its cap and stays there", () => {
  expect(lines(lesser(perKg(4), constant(300)))).toEqual([
    "45 to 75 kg: 0 + 4w",
    "over 75 kg to 130 kg: 300 + 0w",
  ]);
});

test("bands keep their open edges and their gaps", () => {
  expect(lines(bands("weight", { "[45, 50)": constant(150), "(60,)": perKg(3) }))).toEqual([
    "45 kg to under 50 kg: 150 + 0w",
    "over 60 kg to 130 kg: 0 + 3w",
  ]);
});

test("bands of one value and crossings that change nothing make one segment", () => {
  const same = bands("weight", { "[45, 50)": constant(150), "[50,)": constant(150) });
  expect(lines(same)).toEqual(["45 to 130 kg: 150 + 0w"]);
  expect(lines(greater(perKg(2), perKg(2)))).toEqual(["45 to 130 kg: 0 + 2w"]);
});

test("the other variables are fixed, also where a crossing ties them to the first", () => {
  const least = lesser(perKg(2), variable("systolic"));
  expect(lines(least, { systolic: rational(120) })).toEqual([
    "45 to 60 kg: 0 + 2w",
    "over 60 kg to 130 kg: 120 + 0w",
  ]);
});

test("a variable that is neither drawn nor fixed is a mistake of the caller", () => {
  expect(() => lines(variable("systolic"))).toThrow("fixed systolic");
});

test("every rounding step of 0.1 mL is a segment, with the value that evaluation gives", () => {
  const volume = roundedDown("0.1", scaled("3/5", variable("weight")));
  const answer = segmentsOf(volume, "weight", WEIGHTS);
  if (answer.kind !== "segments") throw new Error(answer.limit);
  expect(answer.segments).toHaveLength(511);
  for (const segment of answer.segments) {
    const weight = segment.range.lower?.value as Rational;
    expect(valueOn(segment, weight).toFraction()).toBe(evaluate(volume, { weight })?.toFraction());
  }
});

test("too many segments are not decided", () => {
  const fine = roundedDown("0.0001", perKg(3));
  expect(segmentsOf(fine, "weight", WEIGHTS).kind).toBe("not-decided");
});
