import { expect, test } from "vitest";
import { dayAfter } from "../../shared/replay/written-time.ts";
import { judgeOf, replayed } from "./replayed.ts";

const WRIST = judgeOf("wrist-reduction");

/** The day of a case that has these rows of time and event. */
function dayOf(...rows: readonly (readonly [time: string, event: string])[]): string | undefined {
  const lines = rows.map(([time, event]) => `TH-1,${time},${event}`);
  const { cases } = replayed(WRIST, `case,time,event,value\n${lines.join("\n")}\n`);
  return cases[0]?.day;
}

const FIRST = "start,apply cuffs";
const NEXT = "end,apply cuffs";

test.each([
  ["that of its first event", [["2026-03-02T08:16:37Z", FIRST]], "2026-03-02"],
  ["by the calendar of the place: in the west", [["2026-03-02T23:30:00-05:00", FIRST]], "2026-03-02"],
  ["by the calendar of the place: in the east", [["2026-03-02T00:30:00+10:00", FIRST]], "2026-03-02"],
  [
    "the day on which it began, when it passes midnight",
    [
      ["2026-03-01T23:59:00Z", FIRST],
      ["2026-03-02T00:00:10Z", NEXT],
    ],
    "2026-03-01",
  ],
  [
    "that of the earliest, in whatever order the rows stand",
    [
      ["2026-03-02T00:00:10Z", NEXT],
      ["2026-03-01T23:59:00Z", FIRST],
    ],
    "2026-03-01",
  ],
  [
    "that of an instant which stands beside times of day",
    [
      ["23:59:00", FIRST],
      ["2026-03-02T00:00:10Z", NEXT],
    ],
    "2026-03-01",
  ],
  [
    "that of its beginning, where times count from it",
    [
      ["2026-03-01T23:00:00Z", "begin,"],
      ["0", FIRST],
      ["10", NEXT],
    ],
    "2026-03-01",
  ],
  [
    "the next one, where it begins so late after that",
    [
      ["2026-03-01T23:59:30Z", "begin,"],
      ["60", FIRST],
    ],
    "2026-03-02",
  ],
  ["unknown with times of day alone", [["08:16:37", FIRST]], undefined],
  ["unknown with times from a beginning that has none", [["0", FIRST]], undefined],
  [
    "unknown where the beginning is a time of day",
    [
      ["08:16:37", "begin,"],
      ["0", FIRST],
    ],
    undefined,
  ],
  ["that of a leap day", [["2028-02-29T12:00:00Z", FIRST]], "2028-02-29"],
] as const)("the day of a case is %s", (_, rows, day) => {
  expect(dayOf(...rows)).toBe(day);
});

test("each day of the years from 1960 to 2110 is that of the calendar", () => {
  const DAY = 86_400;
  for (let at = -3653; at < 51_500; at += 1) {
    expect(dayAfter(at * DAY + 86_399.5)).toBe(new Date(at * DAY * 1000).toISOString().slice(0, 10));
  }
});
