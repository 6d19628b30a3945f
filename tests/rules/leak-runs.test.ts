import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";
import {
  ARRESTS,
  ask,
  DECISION,
  emergencyOf,
  FIRST_AID,
  GIVE,
  onSigns,
  throughoutOf,
} from "./toxicity-answers.ts";

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
  "timer-claim-broken",
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

describe("an answer that goes back to the plan takes time from it", () => {
  const TIMES = ["occlusion-too-long", "timer-claim-broken"];
  test.each([
    ["hours of watching", "watch 3 h", TIMES],
    ["a wait in one of two branches", ask("Go on?", "", "wait 3 h"), TIMES],
    ["a task that may take hours", 'task "Ask for another cuff" takes 1 min to 2 h', TIMES],
    ["a task without a longest time", 'task "Ask for another cuff"', TIMES],
    ["a few rounds", "repeat 9 times {\nwatch 15 min\n}", TIMES],
    ["ten minutes", "watch 10 min", TIMES],
    ["a cuff that is confirmed once more for hours", "confirm all takes 1 s to 3 h", TIMES],
    ["a minute", "watch 1 min", []],
  ])("%s", (_, steps, unsafe) => {
    expect(judged(throughoutOf(TOXICITY, leak(steps)), RULES)).toEqual({ unsafe, open: [] });
  });

  test("also one that stands in a routine or is for one cuff", () => {
    const inRoutine = `routine slowly "Slowly" {\nwatch 3 h\n}\n${throughoutOf(TOXICITY, leak("do slowly"))}`;
    expect(judged(inRoutine, RULES).unsafe).toEqual(TIMES);
    const ofOne = leak("watch 3 h").replace("cuff-leak", "cuff-leak of proximal");
    expect(judged(throughoutOf(TOXICITY, ofOne), RULES).unsafe).toEqual(expect.arrayContaining(TIMES));
  });

  test("a limb is not squeezed while a cuff leaks", () => {
    const about = ["cuff-failure-not-handled"];
    const squeezed = (by: string) =>
      judged(throughoutOf(TOXICITY, leak(`exsanguinate by ${by}`)), about).unsafe;
    expect([squeezed("bandage"), squeezed("elevation 1 min")]).toEqual([about, about]);
  });
});

describe("while toxicity is treated", () => {
  const treated = (steps: string) =>
    `${throughoutOf(TOXICITY)}${emergencyOf([FIRST_AID, ARRESTS, GIVE, steps, DECISION].join("\n"))}`;
  test.each([
    [
      "a swap onto a cuff that nobody confirmed",
      "inflate distal\ndeflate proximal",
      ["swap-onto-unconfirmed"],
    ],
    ["a swap onto one that was", "inflate distal\nconfirm distal\ndeflate proximal", []],
    ["a bandage", "exsanguinate by bandage", ["step-out-of-place"]],
  ])("%s", (_, steps, unsafe) => {
    expect(judged(treated(steps), ["swap-onto-unconfirmed", "step-out-of-place"]).unsafe).toEqual(unsafe);
  });
});
