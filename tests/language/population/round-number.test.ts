import { rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import { roundNumber } from "../../../language/population/round-number.ts";
import { range } from "./expressions.ts";

test.each([
  ["[45, 50)", undefined, "45"],
  ["[45, 130]", undefined, "50"],
  ["(45, 50)", undefined, "46"],
  ["(49, 50)", undefined, "49.5"],
  ["(49.5, 50)", undefined, "49.6"],
  ["(49.99, 50)", undefined, "49.991"],
  ["[70, 70]", undefined, "70"],
  ["[200/3, 200/3]", undefined, "66.(6)"],
  ["[45, 70)", "70", "60"],
  ["[61, 69]", "68.2", "65"],
  ["(, 12)", undefined, "10"],
  ["[12,)", undefined, "20"],
  ["(,)", undefined, "0"],
  ["[45, 130]", "300", "130"],
])("the roundest number of %s near %s is %s", (interval, near, expected) => {
  const found = roundNumber(range(interval), near === undefined ? undefined : rational(near));
  expect(found.toString()).toBe(expected);
});
