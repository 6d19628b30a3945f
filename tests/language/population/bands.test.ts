import type { Interval } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import { bandFaults, rangeText } from "../../../language/population/index.ts";
import { range } from "./expressions.ts";

const COVERED = range("[45, 130]");

function faults(
  rows: readonly string[],
  covered: Interval = COVERED,
): { gaps: string[]; overlaps: string[] } {
  const found = bandFaults(rows.map(range), covered);
  return {
    gaps: found.gaps.map((gap) => rangeText(gap, "kg")),
    overlaps: found.overlaps.map(
      ({ first, second, range: shared }) => `rows ${first + 1} and ${second + 1}: ${rangeText(shared, "kg")}`,
    ),
  };
}

test("bands that follow one another have no fault", () => {
  expect(faults(["[45, 50)", "[50, 60)", "[60,)"])).toEqual({ gaps: [], overlaps: [] });
});

test("a hole between 49 and 50 kg is named", () => {
  expect(faults(["[45, 49]", "[50,)"])).toEqual({ gaps: ["over 49 kg to under 50 kg"], overlaps: [] });
});

test("exactly 70 kg may be left out or held twice", () => {
  expect(faults(["[45, 70)", "(70,)"])).toEqual({ gaps: ["exactly 70 kg"], overlaps: [] });
  expect(faults(["[45, 70]", "[70,)"])).toEqual({
    gaps: [],
    overlaps: ["rows 1 and 2: exactly 70 kg"],
  });
});

test("patients below the first and above the last row are left out", () => {
  expect(faults(["[50, 100)"]).gaps).toEqual(["45 kg to under 50 kg", "100 to 130 kg"]);
});

test("rows in any order are judged alike, each pair once", () => {
  expect(faults(["[60,)", "[45, 65)", "[62, 63]"])).toEqual({
    gaps: [],
    overlaps: [
      "rows 1 and 2: 60 kg to under 65 kg",
      "rows 1 and 3: 62 to 63 kg",
      "rows 2 and 3: 62 to 63 kg",
    ],
  });
});

test("what lies outside the covered patients is no fault", () => {
  expect(faults(["[10, 20)", "[15, 200]"])).toEqual({ gaps: [], overlaps: [] });
});

test("without limits of the patients the gaps have none either", () => {
  expect(faults(["[45, 50)"], {}).gaps).toEqual(["under 45 kg", "50 kg and over"]);
});

test("a row that runs backwards holds nobody", () => {
  expect(faults(["[60, 45]"]).gaps).toEqual(["45 to 130 kg"]);
});
