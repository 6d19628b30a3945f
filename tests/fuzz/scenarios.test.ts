import { type FileScenarios, Site, scenarioResults } from "@limbwright/language";
import { expect, test } from "vitest";
import { filesIn, textOf } from "../examples/site.ts";
import { again, asksAll, seeds } from "../questions.ts";
import { randomFrom } from "../solver/random.ts";
import { mutated } from "./mutations.ts";
import { randomProtocol } from "./random-protocol.ts";

const FILE = "scenarios/random.limb";
const TEXTS = { random: "" };
const SITE = new Site((file) => (file === FILE ? TEXTS.random : textOf(file)));

function toldOf(text: string): FileScenarios {
  TEXTS.random = text;
  SITE.noteChange(FILE);
  const told = scenarioResults(SITE, FILE, { on: "2026-11-25" });
  if (!told) throw new Error("the text was not read");
  return told;
}

/** What contradicts itself in what scenarios came to. */
function contradictions({ errors, results }: FileScenarios): string[] {
  return results.flatMap(({ title, outcome, limit, lines, timeline }) => {
    const has = (wanted: string) => lines.some((line) => line.outcome === wanted);
    const isPass = has("passed") && !has("failed") && !has("not-decided") && limit === undefined;
    return [
      (outcome === "passed") !== isPass && `${title}: passed, against its lines`,
      (outcome === "failed") !== has("failed") && `${title}: failed, against its lines`,
      errors.length > 0 && outcome !== "not-decided" && `${title}: decided, though there are errors`,
      lines.some(({ told }) => told > timeline.lines.length) && `${title}: more is told than happened`,
    ].filter((one) => one !== false);
  });
}

test("the scenarios of random protocols get an answer that agrees with itself", () => {
  for (const seed of seeds(40)) expect(contradictions(toldOf(randomProtocol(seed))), again(seed)).toEqual([]);
});

test("scenarios with a slip of the pen get an answer that agrees with itself", () => {
  const all = filesIn("scenarios").map((file) => textOf(file) ?? "");
  const outcomes = seeds(100).flatMap((seed) => {
    const random = randomFrom(seed);
    const told = toldOf(mutated(random.pick(all), random));
    expect(contradictions(told), again(seed)).toEqual([]);
    return told.results.map(({ outcome }) => outcome);
  });
  expect(outcomes.length).toBeGreaterThan(0);
  if (asksAll()) expect(new Set(outcomes)).toEqual(new Set(["passed", "failed", "not-decided"]));
});
