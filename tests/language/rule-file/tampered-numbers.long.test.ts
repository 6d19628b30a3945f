import { type Verification, verifyRuleFile } from "@limbwright/language";
import { type RuleFile, valueAt } from "@limbwright/shared/rule-file";
import { describe, expect, test } from "vitest";
import { someOf } from "../../questions.ts";
import { baseTexts, textFrom } from "./compiled.ts";
import { changedAt, type Json, placesIn, withDigestsOf } from "./mutations.ts";

const base = JSON.parse(textFrom(baseTexts())) as Json;
const { meaning, proof } = (base as unknown as RuleFile).digests;
const isSetByHospital = (path: string) =>
  path.startsWith("/proof/") && valueAt(base, path.replace(/value$/, "from")) === "local-rules";
const all = numbersOf(base);
const sample = new Set(someOf(all.filter((_, at) => at % 3 === 0)));
const numbers = all.filter((path) => sample.has(path) || isSetByHospital(path));
const verified = new Map(numbers.map((path) => [path, verifyRuleFile(forged(base, path))]));
const unnoticed = (approved: Partial<RuleFile["digests"]>) =>
  numbers.filter((path) => {
    const verification = verified.get(path);
    return verification && !isNoticed(verification, approved);
  });

describe(`of ${numbers.length} numbers that are raised one at a time, with the digests computed again by the forger`, () => {
  test("there are some, also such as the hospital set", () => {
    expect(all.length).toBeGreaterThan(300);
    expect(numbers.filter(isSetByHospital).length).toBeGreaterThan(0);
  });

  test("every one is found when the approved meaning and proof are known", () => {
    expect(unnoticed({ meaning, proof })).toEqual([]);
  });

  test("without the approved proof, only what the hospital itself set stays unnoticed", () => {
    expect(unnoticed({ meaning }).filter((path) => !isSetByHospital(path))).toEqual([]);
  });

  test("every one of a table, a verdict, a standard parameter or the runs is found without either", () => {
    const isDerived = (path: string) =>
      /^\/proof\/verdicts|^\/runs\/|\/(rows\/\d+\/(mass|volume|rate|weight)|parameters)\//.test(path) &&
      !isSetByHospital(path);
    expect(all.filter(isDerived).length).toBeGreaterThan(150);
    expect(unnoticed({}).filter(isDerived)).toEqual([]);
  });
});

function isNoticed(verification: Verification, approved: Partial<RuleFile["digests"]>): boolean {
  if (verification.kind !== "agrees") return true;
  return (["meaning", "proof"] as const).some(
    (name) => approved[name] !== undefined && approved[name] !== verification[name],
  );
}

/** Exact decimals and counts of the protocol, the proof and the runs. Of long tables some rows. */
function numbersOf(base: Json): string[] {
  return placesIn(base).filter((path) => {
    const value = valueAt(base, path);
    const isExact = typeof value === "string" && /\/(value|factor)$/.test(path);
    const row = Number(/\/rows\/(\d+)\//.exec(path)?.[1] ?? 0);
    return (
      /^\/(protocol|proof|runs)\//.test(path) && (typeof value === "number" || isExact) && row % 40 === 0
    );
  });
}

function forged(base: Json, path: string): string {
  return JSON.stringify(withDigestsOf(changedAt(base, path, more)));
}

function more(old: Json): Json {
  if (typeof old === "number") return old + 1;
  const [numerator = "0", denominator] = String(old).split("/");
  return denominator ? `${Number(numerator) + 1}/${denominator}` : String(Number(numerator) + 1);
}
