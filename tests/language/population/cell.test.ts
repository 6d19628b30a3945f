import { rational } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import {
  type Cell,
  type Constraint,
  constrain,
  rangeIn,
  splitCell,
} from "../../../language/population/cell.ts";
import { rangeText } from "../../../language/population/index.ts";
import { type Linear, lessConstant, multiplyForm } from "../../../language/population/linear.ts";
import { range } from "./expressions.ts";

const BOX: Cell = { box: { weight: range("[40, 100]"), systolic: range("[90, 180]") }, slanted: [] };

/** 2 mmHg per kg less the systolic pressure. */
const DIFFERENCE: Linear = {
  constant: rational(0),
  slopes: { weight: rational(2), systolic: rational(-1) },
};

function cut(...constraints: readonly Constraint[]): Cell | undefined {
  return constraints.reduce<Cell | undefined>((cell, next) => cell && constrain(cell, next), BOX);
}

describe("constraints in one direction", () => {
  const closed: Constraint = { form: DIFFERENCE, strict: false };
  const open: Constraint = { form: multiplyForm(DIFFERENCE, rational(3)), strict: true };
  const tighter: Constraint = { form: lessConstant(DIFFERENCE, rational(10)), strict: false };

  test("of one line twice the strict one counts, in whichever order they come", () => {
    expect(cut(closed, open)?.slanted).toEqual([open]);
    expect(cut(open, closed)?.slanted).toEqual([open]);
    expect(cut(closed, closed)?.slanted).toEqual([closed]);
  });

  test("of two the tighter one is kept, whichever comes first", () => {
    expect(cut(open, tighter)?.slanted).toEqual([tighter]);
    expect(cut(tighter, open)?.slanted).toEqual([tighter]);
  });

  test("those that look the other way are kept too", () => {
    const other: Constraint = { form: multiplyForm(DIFFERENCE, rational(-1)), strict: false };
    expect(cut(closed, other)?.slanted).toHaveLength(2);
    expect(cut(open, other)).toBeUndefined();
  });
});

test("a corner that is only touched is a half of its own when the edges belong to the box", () => {
  const atCorner = lessConstant(DIFFERENCE, rational(110));
  expect(splitCell(BOX, atCorner).atLeast).toBeDefined();
  const openBox: Cell = { box: { ...BOX.box, weight: range("[40, 100)") }, slanted: [] };
  expect(splitCell(openBox, atCorner).atLeast).toBeUndefined();
});

test("the range of a value over a cell says which ends are attained", () => {
  const { below } = splitCell(BOX, DIFFERENCE);
  if (!below) throw new Error("half of the box lies below");
  expect(rangeText(rangeIn(below, DIFFERENCE), "mmHg")).toBe("-100 mmHg to under 0 mmHg");
});
