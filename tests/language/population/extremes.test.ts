import { describe, expect, test } from "vitest";
import { type Box, type Expression, type Extreme, findExtremes } from "../../../language/population/index.ts";
import {
  bands,
  constant,
  difference,
  greater,
  lesser,
  perKg,
  range,
  roundedDown,
  texts,
  variable,
} from "./expressions.ts";

const BOX: Box = { weight: range("[45, 130]"), systolic: range("[90, 180]") };

function ends(expression: Expression, box: Box = BOX): { least: string; greatest: string } {
  const answer = findExtremes(expression, box);
  if (answer.kind !== "extremes") throw new Error(answer.limit);
  return { least: told(answer.least), greatest: told(answer.greatest) };
}

function told(extreme: Extreme): string {
  if (extreme.kind === "endless") return "endless";
  const patient = Object.entries(texts(extreme.patient)).map(([name, value]) => `${name} ${value}`);
  return [`${extreme.kind} ${extreme.value.toFraction()}`, ...patient].join(", ");
}

describe("the least and the greatest value", () => {
  test("of a capped dose", () => {
    expect(ends(lesser(perKg(4), constant(300)))).toEqual({
      least: "attained 180, weight 45",
      greatest: "attained 300, weight 75",
    });
  });

  test("of a constant needs no patient", () => {
    expect(ends(constant(200))).toEqual({ least: "attained 200", greatest: "attained 200" });
  });

  test("at an open edge is approached", () => {
    expect(ends(perKg(2), { weight: range("(45, 130)") })).toEqual({
      least: "approached 90, weight 45",
      greatest: "approached 260, weight 130",
    });
  });

  test("attained somewhere else is attained", () => {
    const doses = bands("weight", { "[45, 70)": perKg(2), "[70,)": constant(140) });
    expect(ends(doses).greatest).toBe("attained 140, weight 70");
  });

  test("of two variables lies in a corner", () => {
    expect(ends(difference(perKg(2), variable("systolic")))).toEqual({
      least: "attained -90, weight 45, systolic 180",
      greatest: "attained 170, weight 130, systolic 90",
    });
  });

  test("of a crossing lies on the line where the two cross", () => {
    const distance = greater(
      difference(perKg(2), variable("systolic")),
      difference(variable("systolic"), perKg(2)),
    );
    expect(ends(distance).least).toBe("attained 0, weight 50, systolic 100");
  });

  test("of a rounded value is attained at a step", () => {
    expect(ends(roundedDown(50, perKg(3))).greatest).toBe("attained 350, weight 120");
  });

  test("without limits of the patient is endless", () => {
    expect(ends(perKg(2), { weight: range("[45,)") })).toEqual({
      least: "attained 90, weight 45",
      greatest: "endless",
    });
  });

  test("of nobody is not decided", () => {
    expect(findExtremes(bands("weight", { "[1, 2]": constant(1) }), BOX).kind).toBe("not-decided");
  });
});
