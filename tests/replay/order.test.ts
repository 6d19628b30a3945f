import { RowReader } from "@limbwright/shared/replay";
import { describe, expect, test } from "vitest";
import { randomFrom } from "../../examples/tarn-hollow/cases/made-case.mjs";
import { again, firstSeed, howMany } from "../questions.ts";
import { judgement, judgeOf, madeRecord, replayed } from "./replayed.ts";

const judge = judgeOf("wrist-reduction");
const { header, rows } = madeRecord({ count: 120, seed: 5 });

describe("a random record", () => {
  const seed = firstSeed();
  const count = howMany(300);
  const { rows } = madeRecord({ count, seed });
  const inOrder = replayed(judge, header + rows.join(""));
  const expected = new Map(inOrder.cases.map((report) => [report.case, judgement(report)]));

  test("means the same in any order, but for a note of what stood out of order", () => {
    for (const more of [1, 2, 3, 4]) {
      const mixed = shuffledBy(rows, randomFrom(seed + more));
      const shuffled = replayed(judge, header + mixed.join(""));
      expect(shuffled.cases).toHaveLength(count);
      for (const report of shuffled.cases) {
        expect(sortedDeviations(judgement(report)), again(seed)).toEqual(
          sortedDeviations(expected.get(report.case) as ReturnType<typeof judgement>),
        );
        expect(report.notes.map(({ kind }) => kind)).toContain("out-of-order");
      }
    }
  });

  test("means the same when rows are there twice, but for a note", () => {
    const random = randomFrom(seed);
    let repeated = 0;
    const twice = rows.flatMap((row) => {
      if (random() > 0.1 || !/,(start|end|event|finish),/.test(row)) return [row];
      repeated += 1;
      return [row, row];
    });
    const { cases } = replayed(judge, header + twice.join(""));
    expect(cases.map(judgement), again(seed)).toEqual([...expected.values()]);
    const noted = cases.flatMap(({ notes }) => notes.filter(({ kind }) => kind === "duplicate"));
    expect(noted.reduce((sum, { count }) => sum + count, 0)).toBe(repeated);
  });

  test("means the same however it is cut into pieces on the way", () => {
    for (const piece of [1, 7, 4099]) {
      const pieces = replayed(judge, header + rows.slice(0, 200).join(""), { piece });
      expect(pieces, again(seed)).toEqual(replayed(judge, header + rows.slice(0, 200).join("")));
    }
  });

  test("means the same with its columns in another order", () => {
    const turned = rows.map((row) => {
      const [id = "", time = "", event = "", ...value] = row.trimEnd().split(",");
      return `${event},${value.join(",")},${time},${id}\n`;
    });
    const turnedRecord = replayed(judge, `event,value,time,case\n${turned.join("")}`);
    expect(turnedRecord, again(seed)).toEqual(inOrder);
  });

  test("means the same as JSON lines", () => {
    const json = madeRecord({ count, seed, json: true });
    const { cases } = replayed(judge, json.rows.join(""));
    expect(cases.map(judgement), again(seed)).toEqual([...expected.values()]);
  });
});

test.each(["", "a tie"])(
  "what is told twice within a thousandth of a second is told once, beside %j",
  (tie) => {
    const plain = madeRecord({ count: 1, seed: 3, share: 0, times: "instant" }).rows;
    const twice = plain.flatMap((row, at) => {
      if (row.includes(",start,confirm")) return [row.replace("Z,", ".0001Z,"), row.replace("Z,", ".0002Z,")];
      // At the time of the end before it.
      const [, before = ""] = plain[at - 1]?.split(",") ?? [];
      const isTied = tie !== "" && row.includes(",start,insert cannula");
      return [isTied ? row.replace(/,[^,]*,/, `,${before},`) : row];
    });
    const [told] = replayed(judge, header + twice.join("")).cases;
    expect(told).toMatchObject({ outcome: "as-written", notes: [{ kind: "duplicate" }] });
  },
);

test("a leak is one in either way in which it is written, whatever cases came before", () => {
  const plain = madeRecord({ count: 1, seed: 3, share: 0, times: "instant" }).rows;
  const withLeak = (id: string, value: string) =>
    plain
      .flatMap((row) =>
        row.includes(",start,inject local") ? [row, row.replace(/start.*/, `leak,${value}`)] : [row],
      )
      .map((row) => row.replace(/^[^,]*/, id));
  const cases = ["proximal loses pressure", "proximal", "proximal loses pressure", "proximal"];
  const rowsOf = cases.flatMap((value, index) => withLeak(`TH-${index + 1}`, value));
  const told = replayed(judge, header + rowsOf.join("")).cases.map(judgement);
  expect(told).toHaveLength(4);
  expect(told[0]?.deviations.map(({ kind }) => kind)).toContain("unplanned-release");
  expect(told.map(({ deviations }) => deviations)).toEqual(Array(4).fill(told[0]?.deviations));
});

test("a name with a comma is one only in quotes", () => {
  const named = (name: string) => rows.slice(0, 44).map((row) => row.replace(/^[^,]*/, name));
  const quoted = replayed(judge, header + named('"TH, 1"').join(""));
  expect(quoted.cases.map(({ case: id }) => id)).toContain("TH, 1");
  expect(quoted.summary.notes).toEqual([]);
  const [first = "", ...rest] = named('"TH, 1"');
  const bare = rest.map((row) => row.replace('"TH, 1"', "TH, 1"));
  const broken = replayed(judge, header + first + bare.join(""));
  expect(broken.summary.notes).toMatchObject([{ kind: "broken-row", count: rest.length }]);
});

test("cases that were put away too soon are said to be so, by line", () => {
  const mixed = [rows[0], ...rows.slice(42), ...rows.slice(1, 3)].join("");
  const { summary } = replayed(judge, header + mixed, { mostHeld: 20 });
  const [note] = summary.notes.filter(({ kind }) => kind === "came-late");
  expect(note).toMatchObject({ count: 2 });
});

test("cases that come one after another are judged as they come, and few are held", () => {
  const all = madeRecord({ count: 900, seed: 6, share: 0.1, times: "instant" }).rows;
  const begun = new Set<string>();
  let mostOpen = 0;
  let given = 0;
  const reader = new RowReader(judge.events, { name: "the-case", onCase: () => (given += 1) });
  for (const [index, row] of [header, ...all].entries()) {
    const fields = row.trim().split(",");
    reader.takeFields(fields, index + 1);
    if (index > 0) begun.add(fields[0] as string);
    mostOpen = Math.max(mostOpen, begun.size - given);
  }
  reader.end();
  expect(given).toBe(900);
  expect(mostOpen).toBeGreaterThan(1);
  // A thousand rows are held, and none of these cases has fewer than twenty.
  expect(mostOpen).toBeLessThan(52);
});

function shuffledBy(rows: readonly string[], random: () => number): string[] {
  const shuffled = [...rows];
  for (let last = shuffled.length - 1; last > 0; last -= 1) {
    const other = Math.floor(random() * (last + 1));
    [shuffled[last], shuffled[other]] = [shuffled[other] as string, shuffled[last] as string];
  }
  return shuffled;
}

/** The lines of patients' rows decide the order of their deviations alone. */
function sortedDeviations({ deviations, ...rest }: ReturnType<typeof judgement>) {
  return { ...rest, deviations: [...deviations].sort((a, b) => (a.words < b.words ? -1 : 1)) };
}
