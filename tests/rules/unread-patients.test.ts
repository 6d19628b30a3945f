import { expect, test } from "vitest";
import { judged } from "./judged-sections.ts";

const DOSE = "dose local of lidocaine {\n  amount 40 mL\n  over 90 s to 3 min\n}\n";

function patients(weight: string, condition = "caution allergy"): string {
  return `patients {\n  age 16 to 85 years\n  ${weight}\n  systolic 90 to 180 mmHg\n  ${condition}\n}\n`;
}

test("what is found about patients hangs on who they are: with unread bounds it is not decided", () => {
  expect(judged("dose-over-maximum", patients("weight 45 to 130 kg") + DOSE).findings).toHaveLength(1);
  for (const weight of ["weight 45 to 130", "weight 130 to 45 kg", "weigt 45 to 130 kg"]) {
    expect(judged("dose-over-maximum", patients(weight) + DOSE)).toMatchObject({
      findings: [],
      verdict: "not-decided",
    });
  }
});

test("a condition that is not known says nothing about the bounds", () => {
  const { findings, verdict } = judged(
    "dose-over-maximum",
    patients("weight 45 to 130 kg", "caution alergy") + DOSE,
  );
  expect([findings.length, verdict]).toEqual([1, "broken"]);
});
