import { verifyRuleFile } from "@limbwright/language";
import { type RuleFile, valueAt } from "@limbwright/shared/rule-file";
import { describe, expect, test } from "vitest";
import { baseTexts, textFrom } from "./compiled.ts";
import { changedAt, type Json, placesIn, withDigestsOf } from "./mutations.ts";

const text = textFrom(baseTexts());
const base = JSON.parse(text) as Json;
const { meaning, proof } = (base as unknown as RuleFile).digests;

/** Every number that the protocol or the proof holds: exact decimals and counts. Of the long tables some rows. */
const numbers = placesIn(base).filter((path) => {
  const value = valueAt(base, path);
  const isExact = typeof value === "string" && /\/(value|factor)$/.test(path);
  const row = Number(/\/rows\/(\d+)\//.exec(path)?.[1] ?? 0);
  return /^\/(protocol|proof)\//.test(path) && (typeof value === "number" || isExact) && row % 40 === 0;
});

const isSetByHospital = (path: string) =>
  path.startsWith("/proof/") && valueAt(base, path.replace(/value$/, "from")) === "local-rules";

function forged(path: string, change: (old: Json) => Json): string {
  return JSON.stringify(withDigestsOf(changedAt(base, path, change)));
}

const more = (old: Json): Json => {
  if (typeof old === "number") return old + 1;
  const [numerator = "0", denominator] = String(old).split("/");
  return denominator ? `${Number(numerator) + 1}/${denominator}` : String(Number(numerator) + 1);
};

test("the file has numbers to change", () => {
  expect(numbers.length).toBeGreaterThan(120);
  expect(numbers.filter(isSetByHospital).length).toBeGreaterThan(0);
});

describe("with the digests computed again by the forger", () => {
  test("every changed number is found when the approved meaning and proof are known", () => {
    const unnoticed = numbers.filter(
      (path) => verifyRuleFile(forged(path, more), { meaning, proof }).kind === "agrees",
    );
    expect(unnoticed).toEqual([]);
  });

  test("without the approved proof, only what the hospital itself set stays unnoticed", () => {
    const unnoticed = numbers.filter(
      (path) => verifyRuleFile(forged(path, more), { meaning }).kind === "agrees",
    );
    expect(unnoticed.filter((path) => !isSetByHospital(path))).toEqual([]);
  });

  test("every changed number of a table, a verdict or a standard parameter is found without either", () => {
    const isDerived = (path: string) =>
      /\/(rows\/\d+\/(mass|volume|rate|weight)|parameters)\//.test(path) && !isSetByHospital(path);
    const derived = numbers.filter(isDerived);
    const unnoticed = derived.filter((path) => verifyRuleFile(forged(path, more)).kind === "agrees");
    expect(derived.length).toBeGreaterThan(40);
    expect(unnoticed).toEqual([]);
  });

  test("a dose that is raised over its maximum is found by proving the rules again", () => {
    const local = (base as unknown as RuleFile).protocol.doses.findIndex(({ name }) => name === "local");
    const path = `/protocol/doses/${local}/amount/formula/of/quantity/value`;
    const verification = verifyRuleFile(forged(path, () => "9"));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences.map(({ what }) => what)).toContain(
      "The file says that `dose-over-maximum` holds; judged again it is broken.",
    );
    expect(verification.differences.map(({ where }) => where)).toContain("/use");
  });

  test("a pressure under the margin is found by proving the rules again", () => {
    const path = "/protocol/cuffs/pressure/left/right/quantity/value";
    const verification = verifyRuleFile(forged(path, () => "10"));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences.map(({ what }) => what)).toContain(
      "The file says that `pressure-margin-too-small` holds; judged again it is broken.",
    );
  });

  test("a verdict that is turned round is found", () => {
    const verdicts = (base as unknown as RuleFile).proof.verdicts;
    const claimed = verdicts.findIndex(({ rule }) => rule === "early-release");
    const holds = { rule: "early-release", kind: "holds", parameters: verdicts[claimed]?.parameters ?? [] };
    const verification = verifyRuleFile(forged(`/proof/verdicts/${claimed}`, () => holds as unknown as Json));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences).toEqual([
      {
        where: `/proof/verdicts/${claimed}`,
        what: "The file says that `early-release` holds; judged again it is not decided.",
      },
    ]);
  });

  test("a rule that is left out is found", () => {
    const verification = verifyRuleFile(forged("/proof/verdicts", (old) => (old as Json[]).slice(1)));
    expect(verification.kind).toBe("differs");
  });

  test("units that do not fit together are told as such", () => {
    const path = "/protocol/cuffs/pressure/left/right/quantity/unit";
    const verification = verifyRuleFile(forged(path, () => "mg"));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences[0]?.what).toContain("makes no sense");
  });
});

test("a change without new digests is found at once", () => {
  const changed = JSON.stringify(changedAt(base, numbers[0] ?? "", more));
  expect(verifyRuleFile(changed).kind).toBe("unreadable");
});

test("what was judged again is told apart from what the file cannot prove", () => {
  const verification = verifyRuleFile(text, { meaning });
  if (verification.kind !== "agrees") throw new Error("it should agree");
  expect(verification.proven).toContain("dose-over-maximum");
  expect(verification.notProven).toContainEqual({
    rule: "early-release",
    reason: "the file says that it is not decided",
  });
  expect(verification.notProven.map(({ rule }) => rule)).toContain("trailing-zero");
});

test("another approved meaning is a difference", () => {
  const verification = verifyRuleFile(text, { meaning: `sha256:${"0".repeat(64)}` });
  expect(verification).toMatchObject({ kind: "differs", differences: [{ where: "/digests/meaning" }] });
});
