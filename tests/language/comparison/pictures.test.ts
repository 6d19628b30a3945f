import { Site } from "@limbwright/language";
import { type DoseComparison, doseComparison } from "@limbwright/shared/pictures";
import { markupText } from "@limbwright/shared/text";
import { describe, expect, test } from "vitest";
import { doseComparisonsOf } from "../../../language/outputs/pictures/doses.ts";
import { exampleTexts } from "../rule-file/example-site.ts";
import { replacing, WRIST } from "./compared-sides.ts";

const DOSE = "amount 3 mg/kg up to 200 mg";

function protocolIn(texts: ReadonlyMap<string, string>) {
  const [protocol] = new Site((file) => texts.get(file)).file(WRIST)?.protocols ?? [];
  if (!protocol) throw new Error("there is no protocol");
  return protocol;
}

function comparison(amount: string, others: readonly [string, string][] = []): DoseComparison {
  const now = replacing(WRIST, [[DOSE, `amount ${amount}`], ...others]);
  const [first] = doseComparisonsOf(protocolIn(exampleTexts()), protocolIn(now), "dose");
  if (!first) throw new Error("there is no picture");
  return first;
}

const told = ({ apart }: DoseComparison) =>
  apart.map(({ is, says, pieces }) => ({
    is,
    says,
    weights: pieces.map((piece) => piece.map(({ weight }) => weight)),
  }));

describe("doses over each other are apart", () => {
  test("exactly where they cross and bend: at 190/3 kg, 190/3.5 kg and 200/3 kg", () => {
    // 3 mg/kg reaches 190 mg at 190/3 kg and 200 mg at 200/3 kg; 3.5 mg/kg reaches 190 mg at 190/3.5 kg.
    expect(told(comparison("3.5 mg/kg up to 190 mg"))).toEqual([
      {
        is: "looser",
        says: "looser: more for 45 kg to under about 63.33 kg",
        weights: [
          [45, 190 / 3.5],
          [190 / 3.5, 190 / 3],
        ],
      },
      {
        is: "tighter",
        says: "tighter: less for over about 63.33 kg to 130 kg",
        weights: [
          [190 / 3, 200 / 3],
          [200 / 3, 130],
        ],
      },
    ]);
  });

  test("nowhere where another formula gives the same", () => {
    expect(comparison("0.6 mL/kg up to 40 mL")).toMatchObject({
      apart: [],
      description: "both versions give the same to whoever they both cover",
    });
  });

  test("only among the weights that both cover, while either is drawn over its own", () => {
    const picture = comparison("4 mg/kg up to 200 mg", [["45 to 130 kg", "40 to 60 kg"]]);
    expect([picture.from, picture.to]).toEqual([40, 130]);
    expect(told(picture)).toEqual([
      {
        is: "looser",
        says: "looser: more for every patient whom both versions cover",
        weights: [
          [45, 50],
          [50, 60],
        ],
      },
    ]);
    expect(picture.now[0]?.at(0)).toEqual({ weight: 40, amount: 160 });
  });

  test("nowhere where the drug is another: no amount is more then", () => {
    const picture = comparison("2.5 mg/kg up to 200 mg", [
      ["local of lidocaine at 0.5 %", "local of prilocaine"],
    ]);
    expect(picture).toMatchObject({
      title: "local: lidocaine before, prilocaine now, over weight",
      description: "another drug: neither amount can be said to be more than the other",
      apart: [],
    });
  });

  test("of an agent that nobody declared it says so", () => {
    const picture = comparison("2.5 mg/kg up to 200 mg", [["local of lidocaine", "local of lidocain"]]);
    expect(picture.title).toBe("local: lidocaine before, an agent that is not known now, over weight");
  });
});

test("both versions of a dose, with what is between them filled and told in words", async () => {
  const svg = markupText(doseComparison(comparison("3.5 mg/kg up to 190 mg")));
  await expect(`${svg}\n`).toMatchFileSnapshot(
    `${import.meta.dirname}/../../golden/pictures/dose-comparison.svg`,
  );
  for (const words of ["before", "now", "looser: more than before", "tighter: less than before"]) {
    expect(svg).toContain(`>${words}</text>`);
  }
});
