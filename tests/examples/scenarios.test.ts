import { type FileScenarios, Site, scenarioResults } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "./site.ts";

const FILES = filesIn("scenarios");
const CHANGED = { file: "", text: "" };
const SITE = new Site((file) => (file === CHANGED.file ? CHANGED.text : textOf(file)));

/** The scenarios of a file of the example hospital, with another text in its place. */
function told(file: string, text: string): FileScenarios {
  Object.assign(CHANGED, { file, text });
  SITE.noteChange(file);
  const results = scenarioResults(SITE, file, { on: "2026-11-25" });
  if (!results) throw new Error(`${file} is not there`);
  return results;
}

test("every protocol in use has at least two scenarios", () => {
  const protocols = filesIn("protocols").flatMap((file) => SITE.file(file)?.protocols ?? []);
  const scenarios = FILES.flatMap((file) => SITE.file(file)?.scenarios ?? []);
  const counts = protocols.map(({ name }) => scenarios.filter(({ protocol }) => protocol === name).length);
  expect(Math.min(...counts)).toBeGreaterThanOrEqual(2);
});

describe("the scenarios of the example hospital pass", () => {
  test.each(FILES)("%s", (file) => {
    const { errors, results } = told(file, textOf(file) ?? "");
    expect(errors.map(({ what }) => what)).toEqual([]);
    expect(results.filter(({ outcome }) => outcome !== "passed")).toEqual([]);
  });
});

describe("a scenario fails when every expectation of it is turned into another one, and each of them fails", () => {
  test.each(FILES)("%s", (file) => {
    const { errors, results } = told(file, turned(textOf(file) ?? ""));
    expect(errors.map(({ what }) => what)).toEqual([]);
    const lines = results.flatMap((result) => result.lines.filter(({ outcome }) => outcome !== "done"));
    expect(results.filter(({ outcome }) => outcome !== "failed")).toEqual([]);
    expect(lines.filter(({ outcome }) => outcome !== "failed")).toEqual([]);
    expect(lines.length).toBeGreaterThan(0);
  });
});

/** What was allowed is refused and the other way round; times, doses and pressures are a little more. */
function turned(text: string): string {
  return text
    .replace(/ allowed$/gm, " refused-by-then")
    .replace(/ refused by \S+$/gm, " allowed")
    .replace(/ refused-by-then$/gm, " refused by early-release")
    .replace(/ due at (\d+) /g, (_, number) => ` due at ${Number(number) + 1} `)
    .replace(/ is (\d+)(\S*) /g, (_, number, rest) => ` is ${Number(number) + 1}${rest} `);
}
