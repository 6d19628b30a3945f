import { checkFiles, doseCurvesOf, Site } from "@limbwright/language";
import { type DoseCurve, doseCurve } from "@limbwright/shared/pictures";
import { markupText } from "@limbwright/shared/text";
import { describe, expect, test } from "vitest";
import { ON } from "../rule-file/compiled.ts";
import { exampleTexts } from "../rule-file/example-site.ts";
import { WRIST } from "../sheet/written-sheet.ts";

const GOLDEN = `${import.meta.dirname}/../../golden/pictures`;

function curvesFrom(file: string, changes: Readonly<Record<string, string>> = {}): DoseCurve[] {
  const texts = exampleTexts();
  let text = texts.get(file) ?? "";
  for (const [from, to] of Object.entries(changes)) {
    if (!text.includes(from)) throw new Error(`${file} has no "${from}"`);
    text = text.replace(from, to);
  }
  texts.set(file, text);
  const [check] = [...checkFiles(new Site((name) => texts.get(name)), [file], { on: ON })];
  const [judgement] = check?.protocols ?? [];
  return judgement ? doseCurvesOf(judgement.protocol, "dose") : [];
}

const pairs = (points: DoseCurve["dose"][number] = []) =>
  points.map(({ weight, amount }) => [weight, amount]);

describe("a curve bends exactly where the dose does:", () => {
  test("3 mg/kg up to 200 mg at 66 2/3 kg, its maximum of 4 mg/kg and 300 mg at 75 kg", () => {
    const [curve] = curvesFrom(WRIST);
    expect(pairs(curve?.dose[0])).toEqual([
      [45, 135],
      [200 / 3, 200],
      [130, 200],
    ]);
    expect(pairs(curve?.maximum[0])).toEqual([
      [45, 180],
      [75, 300],
      [130, 300],
    ]);
    expect(curve?.caps).toEqual([{ from: { weight: 200 / 3, amount: 200 }, says: "cap 200 mg" }]);
    expect(curve?.over).toEqual([]);
  });

  test("bands are stretches of their own", () => {
    const [curve] = curvesFrom("protocols/hand-laceration.limb");
    // 18, 20 and 25 mL of 0.5 %, which is 5 mg/mL.
    expect(curve?.dose.map(pairs)).toEqual([
      [
        [45, 90],
        [50, 90],
      ],
      [
        [50, 100],
        [60, 100],
      ],
      [
        [60, 125],
        [120, 125],
      ],
    ]);
  });

  test("one for each group of ages that differ", () => {
    const curves = curvesFrom(WRIST, { "age           16 to 85 years": "age           12 to 85 years" });
    expect(curves.map(({ title, maximumSays }) => [title, maximumSays])).toEqual([
      [
        "local: lidocaine over weight, age 12 to 15 years",
        "4 mg/kg, 3 mg/kg for age 15 years and under, 300 mg",
      ],
      ["local: lidocaine over weight, age 16 to 85 years", "4 mg/kg, 300 mg"],
    ]);
  });
});

describe("where a dose is over its maximum", () => {
  test("the area between the two is filled, up to where they meet", () => {
    const [curve] = curvesFrom("flawed/fixed-volume.limb");
    expect(curve?.over).toEqual([
      {
        says: "over the maximum: 45 kg to under 50 kg",
        pieces: [
          [
            { weight: 45, dose: 200, maximum: 180 },
            { weight: 50, dose: 200, maximum: 200 },
          ],
        ],
      },
    ]);
  });

  test("an area that bends is cut where it does", () => {
    const [curve] = curvesFrom(WRIST, { "3 mg/kg up to 200 mg": "5 mg/kg" });
    const [over] = curve?.over ?? [];
    expect(over?.says).toBe("over the maximum: every patient");
    expect(over?.pieces.map((piece) => piece.map(({ weight }) => weight))).toEqual([
      [45, 75],
      [75, 130],
    ]);
  });
});

describe("a curve as a picture", () => {
  test.each([
    ["capped", WRIST],
    ["over", "flawed/fixed-volume.limb"],
    ["bands", "protocols/hand-laceration.limb"],
  ])("%s is the golden file", async (name, file) => {
    const [curve] = curvesFrom(file);
    const text = curve ? markupText(doseCurve(curve)) : "";
    await expect(`${text}\n`).toMatchFileSnapshot(`${GOLDEN}/dose-${name}.svg`);
  });

  test("leads to the line of the amount and to that of the maximum", () => {
    const [curve] = curvesFrom(WRIST);
    expect(curve?.place?.file).toBe(WRIST);
    expect(curve?.maximumPlace?.file).toBe("formulary.limb");
    const svg = curve ? markupText(doseCurve(curve)) : "";
    expect(svg).toContain(`data-file="${WRIST}" data-line="${curve?.place?.line}"`);
    expect(svg).toContain(`data-file="formulary.limb" data-line="${curve?.maximumPlace?.line}"`);
  });
});
