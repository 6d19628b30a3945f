import { describe, expect, test } from "vitest";
import { randomFrom } from "../../examples/tarn-hollow/cases/made-case.mjs";
import { again, firstSeed, howMany } from "../questions.ts";
import { judgeOf, madeRecord, replayed } from "./replayed.ts";

const judge = judgeOf("wrist-reduction");
const { header, rows } = madeRecord({ count: 20, seed: 8, share: 0, times: "instant" });

const notesOf = ({ cases, summary }: ReturnType<typeof replayed>) =>
  [...summary.notes, ...cases.flatMap(({ notes }) => notes)].map(({ kind, lines }) => [kind, lines]);

describe("a record that is damaged", () => {
  test("is judged where it can be read, and nothing is invented of the rest", () => {
    const random = randomFrom(firstSeed());
    for (let round = 0; round < howMany(1_000); round += 1) {
      const damaged = [...rows];
      const place = Math.floor(random() * damaged.length);
      damaged[place] = spoilt(damaged[place] as string, random);
      const { cases } = replayed(judge, header + damaged.join(""));
      const deviations = cases.flatMap((one) => one.deviations.map(({ words }) => words));
      expect({ place, row: damaged[place], deviations }, again(firstSeed())).toEqual({
        place,
        row: damaged[place],
        deviations: [],
      });
      expect(cases.filter(({ outcome }) => outcome === "as-written").length).toBeGreaterThanOrEqual(18);
    }
  });

  test("an open quote spoils its own line and no other", () => {
    const open = [...rows];
    open[10] = `TH-1,"2026-03-02T08:00:00Z,start,apply cuffs\n`;
    const { cases, summary } = replayed(judge, header + open.join(""));
    expect(summary.notes).toEqual([{ kind: "broken-row", count: 1, lines: [12] }]);
    expect(cases.map(({ outcome }) => outcome)).toEqual(["not-judged", ...Array(19).fill("as-written")]);
    expect(cases[0]?.notJudged[0]).toMatchObject({ because: "unreadable-rows", line: 12 });
  });

  test("a file that is cut off in the middle of a row says so", () => {
    const text = header + rows.slice(0, 20).join("");
    const cut = replayed(judge, text.slice(0, -12));
    expect(notesOf(cut)).toContainEqual(["cut-off-row", [21]]);
    expect(cut.cases[0]).toMatchObject({ outcome: "not-judged", deviations: [] });
  });

  test("rows of another format are counted, and another header counts from there on", () => {
    const second = madeRecord({ count: 1, seed: 8, share: 0, times: "instant", from: 21 });
    const turned = second.rows.map((row) => {
      const [id = "", time = "", event = "", ...value] = row.trim().split(",");
      return `${event},${value.join(",")},${time},${id},1\n`;
    });
    const other = `x,weight,70 kg,\n`;
    const text = `${header}${rows.slice(0, 42).join("")}event,value,time,case,format\n${turned.join("")}start,apply cuffs,0,TH-21,2\n${other}`;
    const { cases, summary } = replayed(judge, text);
    expect(summary.notes.map(({ kind }) => kind)).toEqual(["new-header", "broken-row"]);
    expect(cases[1]?.notes).toContainEqual({ kind: "other-format", count: 1, lines: [summary.rows + 2] });
    expect(cases.map(({ deviations }) => deviations)).toEqual([[], []]);
  });

  test("bytes that are no text are counted with their line", () => {
    const bytes = Buffer.from(header + rows.join(""));
    const place = bytes.indexOf("apply cuffs");
    bytes[place] = 0xff;
    expect(notesOf(replayed(judge, bytes))).toContainEqual(["not-utf-8", [9]]);
  });
});

/** A row in which something was lost or changed that makes it unreadable. */
function spoilt(row: string, random: () => number): string {
  const at = 1 + Math.floor(random() * (row.length - 2));
  const ways = [
    () => `${row.slice(0, at).replaceAll(",", "")}\n`,
    () => `${row.slice(0, row.lastIndexOf(","))}\n`,
    () => `"${row}`,
    () => `${"\u0000".repeat(20)}\n`,
    () => row.replace(/,(start|end|finish|weight|dose),/, ",st?rt,").replace(/T\d\d/, "T9x"),
  ];
  return (ways[Math.floor(random() * ways.length)] as () => string)();
}
