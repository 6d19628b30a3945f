import { describe, expect, test } from "vitest";
import { judgeOf, madeRecord, replayed } from "./replayed.ts";

const WRIST = judgeOf("wrist-reduction");

test("of a dose that is the same for all, each patient is told the own weight", () => {
  const judge = judgeOf("wrist-reduction", (text) =>
    text.replace(/amount 3 mg\/kg up to 200 mg/, "amount 180 mg"),
  );
  const { header, rows } = madeRecord({ count: 1, seed: 3, share: 0, times: "instant" });
  const weighing = (weight: number) =>
    rows
      .map((row) => row.replace(/^[^,]*/, `TH-${weight}`))
      .map((row) => row.replace(/,weight,.*/, `,weight,${weight} kg`))
      .map((row) => row.replace(/,dose,.*/, ",dose,local: 60 mL"));
  const { cases } = replayed(judge, header + [...weighing(90), ...weighing(60)].join(""));
  const words = cases.map(({ deviations }) => deviations.find(({ kind }) => kind === "dose")?.words);
  expect(words).toEqual([
    "`local`: 60 mL given, 24 mL more than the protocol's 36 mL for 90 kg.",
    "`local`: 60 mL given, 24 mL more than the protocol's 36 mL for 60 kg.",
  ]);
});

describe("a dose that is told twice", () => {
  const { header, rows } = madeRecord({ count: 1, seed: 3, share: 0, times: "instant" });
  /** A patient of 60.8 kg, who gets 182.4 mg in 36.48 mL, drawn up as 36 mL. */
  const doses = (told: readonly string[], { weight = ",weight,60.8 kg", protocol = WRIST } = {}) => {
    const record = rows
      .map((row) => row.replace(/,weight,.*/, weight))
      .flatMap((row) =>
        /,dose,/.test(row) ? told.map((one) => row.replace(/,dose,.*/, `,dose,${one}`)) : [row],
      );
    const [only] = replayed(protocol, header + record.join("")).cases;
    return only?.deviations.filter(({ kind }) => kind === "dose").map(({ words }) => words);
  };

  test.each([
    [["local: 36 mL", "local: 36.4 mL"], "36 mL and as 36.4 mL"],
    [["local: 180 mg", "local: 182.4 mg"], "180 mg and as 182.4 mg"],
    [["local: 36 mL", "local: 36.2 mL", "local: 36.4 mL"], "36 mL and as 36.2 mL"],
  ])("otherwise is a deviation, although each amount alone would be as planned: %j", (told, both) => {
    expect(doses(told)).toEqual([
      `\`local\` is recorded as ${both}: which of the two was given is not known.`,
    ]);
  });

  test("otherwise is one also where no weight is told, and nobody knows what was planned", () => {
    expect(doses(["local: 36 mL", "local: 50 mL"], { weight: ",note,x" })).toEqual([
      "`local` is recorded as 36 mL and as 50 mL: which of the two was given is not known.",
    ]);
  });

  test("once too much, is told as that alone", () => {
    expect(doses(["local: 36 mL", "local: 60 mL"])).toEqual([
      "`local`: 60 mL given, 23.52 mL more than the protocol's 36 to 36.48 mL for 60.8 kg.",
    ]);
  });

  test.each([
    [["local: 36 mL", "local: 36 mL"]],
    [["local: 36 mL", "local: 36.0 mL"]],
    [["local: 36 mL", "local: 180 mg"]],
    [["local: 36 mL", "local: 182.4 mg"]],
    [["local: 180 mg", "local: 0.18 g"]],
  ])("alike, in either unit, is none: %j", (told) => {
    expect(doses(told)).toEqual([]);
  });
});

test("a weight in the unit of something else is no weight", () => {
  const judge = judgeOf("wrist-reduction", (text) => text);
  const { header, rows } = madeRecord({ count: 1, seed: 3, share: 0, times: "instant" });
  const record = rows.map((row) => row.replace(/,weight,.*/, ",weight,90 mmHg")).join("");
  const [only] = replayed(judge, header + record).cases;
  expect(only?.notJudged.map(({ words }) => words)).toContain(
    "The body weight is not recorded as a number with its unit.",
  );
});
