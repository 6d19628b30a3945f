import { describe, expect, test } from "vitest";
import { timeText } from "../../examples/tarn-hollow/cases/rows.mjs";
import { readTime } from "../../shared/replay/written-time.ts";
import { judgeOf, madeRecord, replayed } from "./replayed.ts";

test("instants are read as Node reads them", () => {
  const days = ["2026-03-01", "2024-02-29", "1999-12-31", "2000-01-01", "2100-03-01"];
  const times = ["00:00:00", "09:12:30", "23:59:59", "23:59:59.25"];
  for (const day of days) {
    for (const time of times) {
      for (const zone of ["Z", "+01:00", "-05:30"]) {
        const text = `${day}T${time}${zone}`;
        expect([text, readTime(text)?.seconds]).toEqual([text, Date.parse(text) / 1000]);
      }
    }
  }
});

test("what is no time is none", () => {
  const wrong = [
    "",
    "soon",
    "2026-02-29T10:00:00Z",
    "2026-13-01T10:00:00Z",
    "2026-03-01T10:00:00",
    "25:00:00",
  ];
  expect([...wrong, "1:75", "10:61:00", "-5", "1e3"].map(readTime)).toEqual(Array(10).fill(undefined));
});

test.each(["\0", "\u00e9", "\uff12", " ", "x"])("an instant is none where %j stands in its day", (letter) => {
  const day = [0, 3, 4, 5, 8, 9].map((at) => "2026-03-09T09:12:40Z".split("").with(at, letter).join(""));
  expect([...day, `${letter.repeat(10)}T09:12:40Z`].map(readTime)).toEqual(Array(7).fill(undefined));
});

describe("times of one case", () => {
  const judge = judgeOf("wrist-reduction");
  const { header, rows } = madeRecord({ count: 1, seed: 11, share: 0, times: "seconds" });
  const fields = rows.map((row) => row.trimEnd().split(","));
  const plain = replayed(judge, header + rows.join("")).cases[0];

  /** The same case with its times written by what a row is. */
  const written = (format: (row: number, seconds: number) => string, more = "") => {
    const text = fields.map(([id, time, ...rest], row) => {
      return `${[id, time === "" ? "" : format(row, Number(time)), ...rest].join(",")}\n`;
    });
    return replayed(judge, header + text.join("") + more).cases[0];
  };

  test("may be on a clock that passes midnight", () => {
    const late = written((_, seconds) => {
      const of = (23 * 3600 + 50 * 60 + seconds) % 86_400;
      return [of / 3600, (of / 60) % 60, of % 60]
        .map((part) => String(Math.floor(part)).padStart(2, "0"))
        .join(":");
    });
    expect(late?.outcome).toBe("as-written");
    expect(late?.notes.map(({ kind }) => kind)).toContain("clock-went-back");
  });

  test("may be instants and times of day side by side", () => {
    const mixed = written((row, seconds) => timeText(seconds, row % 3 === 0 ? "clock" : "instant", 1));
    expect(mixed?.outcome).toBe("as-written");
    expect(mixed?.notes.map(({ kind }) => kind)).toContain("mixed-times");
  });

  test("may count from a beginning that is told, and are not judged where it is not", () => {
    const mix = (row: number, seconds: number) => timeText(seconds, row % 3 === 0 ? "elapsed" : "instant", 1);
    const lost = written(mix);
    expect(lost).toMatchObject({ outcome: "not-judged", notJudged: [{ because: "times-not-comparable" }] });
    const told = written(mix, `TH-1,${timeText(0, "instant", 1)},begin,\n`);
    expect(told?.outcome).toBe("as-written");
  });

  test("are not judged beyond a jump of the clock", () => {
    const jumped = written((row, seconds) => String(row > 20 ? seconds + 40_000 : seconds));
    expect(jumped).toMatchObject({ outcome: "not-judged", deviations: [] });
    expect(jumped?.notJudged.map(({ because }) => because)).toContain("clock-jump");
  });

  test("may have parts of a second", () => {
    const exact = written((_, seconds) => `${seconds}.5`);
    expect(exact?.outcome).toBe(plain?.outcome);
  });
});
