import { expect, test } from "vitest";
import { judgeOf, madeRecord, replayed } from "./replayed.ts";

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

test("a weight in the unit of something else is no weight", () => {
  const judge = judgeOf("wrist-reduction", (text) => text);
  const { header, rows } = madeRecord({ count: 1, seed: 3, share: 0, times: "instant" });
  const record = rows.map((row) => row.replace(/,weight,.*/, ",weight,90 mmHg")).join("");
  const [only] = replayed(judge, header + record).cases;
  expect(only?.notJudged.map(({ words }) => words)).toContain(
    "The body weight is not recorded as a number with its unit.",
  );
});
