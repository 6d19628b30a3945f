import { rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import { type Expression, evaluate, type Patient } from "../../../language/population/index.ts";
import {
  bands,
  constant,
  difference,
  greater,
  lesser,
  perKg,
  roundedDown,
  scaled,
  sum,
  variable,
} from "./expressions.ts";

const PATIENT: Patient = { weight: rational("67.5"), systolic: rational(140), age: rational("0.5") };

function value(expression: Expression): string | undefined {
  return evaluate(expression, PATIENT)?.toFraction();
}

test("each kind of expression has its value", () => {
  expect(value(constant("0.1"))).toBe("1/10");
  expect(value(perKg(4))).toBe("270");
  expect(value(sum(variable("systolic"), constant(100)))).toBe("240");
  expect(value(difference(perKg(4), constant("0.5")))).toBe("539/2");
  expect(value(lesser(perKg(4), constant(200)))).toBe("200");
  expect(value(greater(perKg(4), constant(200)))).toBe("270");
  expect(value(scaled("1/3", perKg(4)))).toBe("90");
});

test("0.1 + 0.2 is 0.3", () => {
  expect(value(sum(constant("0.1"), constant("0.2")))).toBe("3/10");
});

test("rounding down keeps a whole multiple and never rises, below zero too", () => {
  expect(value(roundedDown(1, constant("13.5")))).toBe("13");
  expect(value(roundedDown("0.5", constant("13.5")))).toBe("27/2");
  expect(value(roundedDown(1, constant("-0.5")))).toBe("-1");
});

test("the first band that holds the patient counts, and outside all there is no value", () => {
  const doses = bands("weight", {
    "[45, 67.5)": constant(1),
    "[60, 70)": constant(2),
    "[65, 70]": constant(3),
  });
  expect(value(doses)).toBe("2");
  expect(value(bands("weight", { "[45, 67.5)": constant(1) }))).toBeUndefined();
  expect(value(sum(constant(1), bands("age", { "[1,)": constant(1) })))).toBeUndefined();
});

test("a patient without a needed variable is a mistake of the caller", () => {
  expect(() => value(variable("circumference"))).toThrow("no circumference");
});
