import { rational } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import {
  type Box,
  patientText,
  rangeText,
  regionsText,
  regionText,
} from "../../../language/population/index.ts";
import { range } from "./expressions.ts";

describe("a range in words", () => {
  test.each([
    ["[45, 50)", "kg", "45 kg to under 50 kg"],
    ["[45, 130]", "kg", "45 to 130 kg"],
    ["(49, 50)", "kg", "over 49 kg to under 50 kg"],
    ["(49, 50]", "kg", "over 49 kg to 50 kg"],
    ["[60,)", "kg", "60 kg and over"],
    ["(60,)", "kg", "over 60 kg"],
    ["(, 12)", "years", "11 years and under"],
    ["[0, 16)", "years", "15 years and under"],
    ["[64, 65)", "years", "64 years"],
    ["[16,)", "years", "16 years and over"],
    ["[1/2, 5)", "years", "6 months to 4 years"],
    ["[0, 1)", "years", "11 months and under"],
    ["(, 50/3)", "years", "199 months and under"],
    ["[2, 5/2)", "years", "24 to 29 months"],
    ["[1/12, 1/6)", "years", "1 month"],
    ["(, 12]", "years", "up to 12 years"],
    ["[70, 70]", "kg", "exactly 70 kg"],
    ["[1, 1]", "years", "exactly 1 year"],
    ["[1, 5)", "years", "1 to 4 years"],
    ["[0.5, 1)", "months", "6 to 11 months"],
    ["(,)", "kg", "without limits"],
    ["[45, 200/3)", "kg", "45 kg to under about 66.67 kg"],
  ])("%s in %s is told as: %3$s", (interval, unit, words) => {
    expect(rangeText(range(interval), unit)).toBe(words);
  });

  test("edges that would look alike get more decimals, and in the end are told as fractions", () => {
    expect(rangeText(range("[66.6601, 66.6602)"), "kg")).toBe("66.6601 kg to under 66.6602 kg");
    expect(rangeText(range("[1/3000000000, 1/2999999999)"), "kg")).toBe(
      "1/3000000000 kg to under 1/2999999999 kg",
    );
  });

  test("a unit nobody knows is a mistake of the caller", () => {
    expect(() => rangeText(range("[1, 2]"), "stone")).toThrow("stone");
  });
});

describe("a region in words", () => {
  const region = (ranges: Box, exact = true) => ({ ranges, exact, everybody: false });

  test("each variable is named but the weight, which its unit names", () => {
    const ranges = {
      systolic: range("[90, 120]"),
      weight: range("[45, 50)"),
      circumference: range("(, 25)"),
    };
    expect(regionText(region(ranges))).toBe(
      "45 kg to under 50 kg, systolic 90 to 120 mmHg, circumference under 25 cm",
    );
  });

  test("ages are told in years, and in months where years would not be whole", () => {
    expect(regionText(region({ age: range("(, 12)") }))).toBe("age 11 years and under");
    expect(regionText(region({ age: range("[0.5, 2)") }))).toBe("age 6 months to 1 year");
    expect(regionText(region({ age: range("[0.3, 2)") }))).toBe("age 0.3 years to under 2 years");
  });

  test("a region that only some patients make up says so", () => {
    expect(regionText(region({ weight: range("[45, 50)") }, false))).toBe(
      "some patients among 45 kg to under 50 kg",
    );
    expect(regionText(region({}, false))).toBe("some patients");
    expect(regionText({ ranges: {}, exact: true, everybody: true })).toBe("every patient");
  });

  test("many regions are counted after the first", () => {
    const regions = ["[1, 2]", "[3, 4]", "[5, 6]"].map((text) => region({ weight: range(text) }));
    expect(regionsText(regions)).toBe("1 to 2 kg; 3 to 4 kg; 5 to 6 kg");
    expect(regionsText(regions, 2)).toBe("1 to 2 kg; 3 to 4 kg; and 1 more range");
    expect(regionsText(regions, 1)).toBe("1 to 2 kg; and 2 more ranges");
  });
});

test("a patient in words", () => {
  const patient = { systolic: rational(120), age: rational(1), weight: rational("45.5") };
  expect(patientText(patient)).toBe("45.5 kg, age 1 year, systolic 120 mmHg");
});
