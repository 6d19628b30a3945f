import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";
import { ask, onSigns, throughoutOf } from "./toxicity-answers.ts";

/** What is unsafe, and what is not decided, of the rules that judge an answer to a leak and what it leads to. */
function judged(text: string, about: readonly string[]) {
  const { check } = checkExample(text, { about });
  const unsafe = check.findings.filter(({ severity }) => severity === "unsafe").map(({ rule }) => rule);
  const open = check.protocols.flatMap(({ verdicts }) =>
    verdicts.filter(({ kind }) => kind === "not-decided").map(({ rule }) => rule),
  );
  const only = (rules: readonly string[]) => rules.filter((rule) => about.includes(rule)).sort();
  return { unsafe: only(unsafe), open: only(open) };
}

const TOXICITY = onSigns("go to emergency toxicity");
const leak = (steps: string) => `when cuff-leak {\ninflate all\nconfirm all\n${steps}\n}`;
const emergency = (steps: string) => `emergency abandon "Abandon" {\n${steps}\n}\n`;
const LEAVES = leak(ask("Go on?", "", "go to emergency abandon"));
const RULES = [
  "cuff-failure-not-handled",
  "early-release",
  "occlusion-too-long",
  "recovery-too-short",
  "no-toxicity-plan",
];

describe("an emergency to which only a leak leads", () => {
  test.each([
    ["that waits for hold, releases and watches", "wait for hold\ndo staged-release\nrecovery 30 min", []],
    ["that releases too early", "watch 10 min\ndo staged-release\nrecovery 30 min", ["early-release"]],
    [
      "that keeps the cuff up for hours",
      "watch 3 h\ndo staged-release\nrecovery 30 min",
      ["occlusion-too-long"],
    ],
    [
      "that watches for a short time",
      "wait for hold\ndo staged-release\nrecovery 5 min",
      ["recovery-too-short"],
    ],
    ["that watches nobody", "wait for hold\ndo staged-release", ["recovery-too-short"]],
  ])("%s", (_, steps, unsafe) => {
    const found = judged(`${throughoutOf(TOXICITY, LEAVES)}${emergency(steps)}`, RULES);
    expect(found.unsafe.filter((rule) => unsafe.includes(rule) || unsafe.length === 0)).toEqual(unsafe);
    if (unsafe.length === 0) expect(found.open).toEqual([]);
  });

  test("keeps the answer to toxicity in force", () => {
    const text = `${throughoutOf(TOXICITY, LEAVES)}${emergency("wait for hold\ndo staged-release\nrecovery 30 min")}`;
    expect(judged(text, ["no-toxicity-plan"])).toEqual({ unsafe: [], open: [] });
  });
});

describe("an answer to toxicity that cannot cut in", () => {
  const slow = onSigns('task help "Help"\ngo to emergency toxicity');

  test("may not wait for a long answer to a leak", () => {
    const about = ["no-toxicity-plan"];
    expect(judged(throughoutOf(slow, leak("watch 30 min")), about).unsafe).toEqual(about);
    expect(judged(throughoutOf(slow, leak("watch 2 min")), about).unsafe).toEqual([]);
    expect(judged(throughoutOf(TOXICITY, leak("watch 30 min")), about).unsafe).toEqual([]);
  });
});
