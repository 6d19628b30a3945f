import { Site } from "@limbwright/language";
import { expect, test } from "vitest";
import { catalogue } from "../../language/rules/catalogue.ts";
import { judgeProtocol } from "../../language/rules/engine/judge.ts";
import { baseTexts, ON } from "../language/rule-file/compiled.ts";

/** In mcg/kg, so that every number is whole: what the hospital allows of its own, and the published maximum for an adult. */
const OWN = 3000;
const PUBLISHED = 4000;
const LIGHTEST = 45;

const judged = catalogue.filter(({ id }) => id === "dose-over-maximum");

/** Whether a dose of so many mg for everybody is accepted by words that go up to a value by weight. */
function isAccepted(milligrams: number, value: number): readonly boolean[] {
  const base = baseTexts();
  const texts = new Map([
    ...base,
    ["formulary.limb", (base.get("formulary.limb") ?? "").replace("4 mg/kg", "3 mg/kg")],
    ["protocol.limb", (base.get("protocol.limb") ?? "").replace("3 mg/kg up to 200 mg", `${milligrams} mg`)],
    [
      "local-rules.limb",
      `local-rules tarn-hollow {\n  accept dose-over-maximum of local in wrist-reduction up to ${value} mcg/kg because "Tendons" by "Lead" by "Pharmacy" until 2027-01-31\n}\n`,
    ],
  ]);
  const [protocol] = new Site((file) => texts.get(file)).file("protocol.limb")?.protocols ?? [];
  if (!protocol) throw new Error("no protocol");
  const { findings } = judgeProtocol(protocol, [], judged, { on: ON, withoutRuns: true });
  return findings.map(({ accepted }) => accepted !== undefined);
}

test("a fixed dose is accepted exactly where the lightest patient gets no more than the value, nor than is published", () => {
  const outcomes = new Set<string>();
  for (let milligrams = 130; milligrams <= 190; milligrams += 5) {
    for (let value = 2900; value <= 4100; value += 100) {
      const isFound = milligrams * 1000 > OWN * LIGHTEST;
      const isWithin = milligrams * 1000 <= value * LIGHTEST && value <= PUBLISHED;
      const expected = isFound ? [isWithin] : [];
      expect([milligrams, value, isAccepted(milligrams, value)]).toEqual([milligrams, value, expected]);
      outcomes.add(String(expected));
    }
  }
  expect([...outcomes].sort()).toEqual(["", "false", "true"]);
});
