import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { withRepair } from "./mended.ts";

const BASE = join(import.meta.dirname, "base");
const base = (file: string) => readFileSync(join(BASE, file), "utf8");

interface Changed {
  readonly changes: readonly (readonly [string | RegExp, string])[];
  readonly on?: string;
  readonly formulary?: string;
}

/** The base protocol with some words changed. */
function filesOf({ changes, formulary = "" }: Changed): Map<string, string> {
  const protocol = changes.reduce((text, [words, others]) => {
    const changed = text.replace(words, others);
    if (changed === text) throw new Error(`nothing to change: ${words}`);
    return changed;
  }, base("protocol.limb"));
  return new Map([
    ["formulary.limb", `${base("formulary.limb")}\n${formulary}`],
    ["local-rules.limb", base("local-rules.limb")],
    ["protocol.limb", protocol],
  ]);
}

function findingsIn(files: ReadonlyMap<string, string>, on = "2026-11-25") {
  const [check] = checkFiles(new Site((name) => files.get(name)), ["protocol.limb"], { on });
  return check?.findings ?? [];
}

/** What a rule finds, each with the titles of its repairs. */
function offered(rule: string, changed: Changed): string[][] {
  const found = findingsIn(filesOf(changed), changed.on).filter((one) => one.rule === rule);
  return found.map(({ repairs }) => repairs.map(({ title }) => title));
}

describe("a number without a unit", () => {
  test.each([
    ["a timer", "at least 30 min", "at least 30", ["Write 30 s", "Write 30 min", "Write 30 h"]],
    ["an age", "16 to 85 years", "16 to 85", ["Write 16 years", "Write 16 months"]],
    ["a pressure", "300 mmHg", "300", ["Write 300 mmHg"]],
    ["a dose", "3 mg/kg up to 200 mg", "200", []],
    ["a dose for each kilogram", "3 mg/kg up", "3 up", []],
    ["a strength", "of lidocaine", "of lidocaine at 1", []],
    ["a rate", "15 mL/kg/h", "15", []],
  ])(
    "of %s is offered the units that fit, and none where a dose may be meant",
    (_, words, others, titles) => {
      const [first] = offered("unit-missing", { changes: [[words, others]] });
      expect(first).toEqual(titles);
    },
  );
});

test.each([
  ["2027-02-30", ["Write 2027-02-28"]],
  ["2028-02-30", ["Write 2028-02-29"]],
  ["2027-06-31", ["Write 2027-06-30"]],
  ["2027-13-01", []],
  ["2027-06-00", []],
  ["2027-06-45", []],
])("no day %s: the last of its month, where it is only just past that", (day, titles) => {
  expect(offered("date-not-real", { changes: [["2027-06-30", day]] })).toEqual([titles]);
});

test("an overdue review is put a year ahead, by whoever has reviewed it", () => {
  const overdue = { changes: [["2027-06-30", "2026-06-30"]], on: "2028-02-29" } as const;
  expect(offered("review-overdue", overdue)).toEqual([["After it was reviewed, write review by 2029-02-28"]]);
});

test("a cuff is not guessed: each is offered, and only to be inflated", () => {
  const alone = { changes: [["inflate proximal", "inflate"]] } as const;
  expect(offered("text-not-understood", alone)).toContainEqual([
    "Write inflate proximal",
    "Write inflate distal",
    "Write inflate all",
  ]);
  const down = { changes: [["deflate distal", "deflate"]] } as const;
  expect(offered("text-not-understood", down)).toEqual([[]]);
  const inRoutine = { changes: [["    deflate all for 10 s", "    inflate"]] } as const;
  expect(offered("text-not-understood", inRoutine)).toContainEqual(["Write inflate all"]);
});

describe("a stage that nothing ends", () => {
  const endless = /when hold reaches 35 min [\s\S]*?^ {4}\}$/m;
  const RULE = "occlusion-too-long";

  test("is ended by its timer, with a decision before it that comes in good time", () => {
    const files = filesOf({ changes: [[endless, "}"]] });
    const [finding] = findingsIn(files).filter(({ rule }) => rule === RULE);
    const [repair] = finding?.repairs ?? [];
    if (!repair) throw new Error("no repair was offered");
    const after = findingsIn(withRepair(files, repair)).map(({ rule }) => rule);
    expect(after).not.toContain(RULE);
    expect(after).not.toContain("timer-claim-broken");
    expect(after).not.toContain("surgery-outlasts-block");
    expect(after).not.toContain("unreachable-step");
  });

  test.each([
    ["no round time is left after the timer's minimum", [["at least 30 min", "at least 48 min"]]],
    [
      "a second stage is before the release",
      [["    wait for hold", "    stage dressing {\n      watch 5 min\n    }\n    wait for hold"]],
    ],
    ["a task before it has no end", [["    wait 5 min", '    task "Prepare" takes 5 min or more']]],
    ["an answer in it has no end", [["takes 10 s to 1 min", "takes 10 s or more"]]],
    ["no timer counts from the injection", [["hold from end of local", "hold from first inflation"]]],
  ] as const)("is left to the author where %s", (_, changes) => {
    const found = offered(RULE, { changes: [[endless, "}"], ...changes] });
    expect(found).toEqual([[]]);
  });
});

describe("prilocaine without a plan", () => {
  const RULE = "no-methaemoglobinaemia-plan";
  const PRILOCAINE = `agent prilocaine {
  kind          local-anaesthetic
  atc           "N01BB04"
  concentration 0.5 %
  plain
  preservative-free
  maximum       3 mg/kg
  maximum       400 mg
  source        "Hospital formulary"
}`;
  const ANTIDOTE = `agent methylthioninium {
  kind          rescue
  concentration 5 mg/mL
  syringe       50 mL marked every 0.2 mL
  maximum       7 mg/kg
  source        "Hospital formulary"
}`;
  const changes = [["local of lidocaine", "local of prilocaine"]] as const;

  test("gets one where the formulary has the antidote, and it is judged as one", () => {
    const files = filesOf({ changes, formulary: `${PRILOCAINE}\n${ANTIDOTE}` });
    const before = findingsIn(files);
    const [repair] = before.find(({ rule }) => rule === RULE)?.repairs ?? [];
    if (!repair) throw new Error("no repair was offered");
    const after = findingsIn(withRepair(files, repair));
    const rules = new Set(before.map(({ rule }) => rule));
    expect(after.map(({ rule }) => rule)).not.toContain(RULE);
    expect(after.filter(({ rule, severity }) => !rules.has(rule) && severity !== "advice")).toEqual([]);
  });

  test.each([
    ["the formulary has none", PRILOCAINE],
    ["nobody says its syringe", `${PRILOCAINE}\n${ANTIDOTE.replace(/ +syringe.*\n/, "")}`],
    ["its strength is to be chosen", `${PRILOCAINE}\n${ANTIDOTE.replace("5 mg/mL", "5 mg/mL, 10 mg/mL")}`],
  ])("is left to the author where %s", (_, formulary) => {
    expect(offered(RULE, { changes, formulary })).toEqual([[]]);
  });
});
