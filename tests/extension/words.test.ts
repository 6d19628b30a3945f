import {
  type ProofState,
  type ProtocolState,
  type RunToStepThrough,
  type ScenarioRan,
  titleOf,
} from "@limbwright/shared/editor";
import type { RunLine } from "@limbwright/shared/finding";
import { expect, test } from "vitest";
import { proofStatus } from "../../extension/client/proof-status.ts";
import { faultInDay, faultInName, faultInWords } from "../../extension/client/typed-faults.ts";
import { comparisonHtml, lineFrom } from "../../extension/client/webview-page.ts";
import {
  beginStepping,
  markOld,
  moveBy,
  stepWords,
  wordsBeside,
} from "../../extension/commands/run-stepping.ts";
import { testOutcome } from "../../extension/scenarios/scenario-outcome.ts";

const RANGE = { start: { line: 3, character: 2 }, end: { line: 3, character: 9 } };

type Told = [state: ProtocolState["state"], words: string, alarm?: ProtocolState["alarm"]];

function states(...given: Told[]): ProofState {
  return {
    isRunning: false,
    filesLeft: 0,
    protocols: given.map(([state, words, alarm = "none"], index) => ({
      uri: "file:///a.limb",
      protocol: `p${index}`,
      state,
      alarm,
      words,
    })),
  };
}

test("the status says what is worst, and that rules hold only where all do", () => {
  const told = (...given: Parameters<typeof states>) => proofStatus(states(...given), "file:///a.limb");
  expect(told(["holds", "all 77 rules hold"])).toMatchObject({
    text: "$(check) p0: all 77 rules hold",
    alarm: "none",
  });
  expect(told(["holds", "…"], ["not-decided", "2 not decided", "warning"])).toMatchObject({
    text: "$(question) 1 of 2 protocols: not decided, which is not a pass",
    alarm: "warning",
  });
  expect(told(["holds", "…"], ["stale", "being checked"])?.text).toBe(
    "$(history) 1 of 2 protocols: not checked as it stands now",
  );
  const broken: Told = ["broken", "1 unsafe", "error"];
  expect(told(["not-decided", "…", "warning"], broken, ["holds", "…"])).toMatchObject({
    text: "$(error) 1 of 3 protocols: broken",
    alarm: "error",
  });
  expect(told(["holds", "…"], ["holds", "…"])?.text).toBe("$(check) 2 protocols: all rules hold");
  expect(told()).toBeUndefined();
});

test("the status looks like an alarm only for what is one", () => {
  const told = (...given: Told[]) => proofStatus(states(...given), "file:///a.limb");
  expect(told(["broken", "1 doubtful", "warning"])).toMatchObject({
    text: "$(warning) p0: 1 doubtful",
    alarm: "warning",
  });
  expect(told(["broken", "1 advice"])).toMatchObject({ text: "$(info) p0: 1 advice", alarm: "none" });
  // An advice in one protocol does not hide that another is not decided.
  expect(told(["broken", "1 advice"], ["not-decided", "…", "warning"])).toMatchObject({ alarm: "warning" });
});

test("where a text has no protocol, the status is that of all others", () => {
  expect(proofStatus(states(["broken", "1 unsafe", "error"]), "file:///formulary.limb")?.text).toBe(
    "$(error) p0: 1 unsafe",
  );
});

test("where files were not checked, it is not said that all rules hold", () => {
  const state = { ...states(["holds", "all 77 rules hold"]), filesLeft: 12 };
  expect(proofStatus(state, "file:///formulary.limb")).toMatchObject({
    text: "$(history) 12 files not checked, which is not a pass",
    lines: ["p0: all 77 rules hold (all rules hold)", "12 files not checked, which is not a pass."],
  });
  expect(proofStatus({ ...state, isRunning: true }, "file:///formulary.limb")?.text).toBe(
    "$(sync~spin) 12 files still to be checked",
  );
  expect(proofStatus(state, "file:///a.limb")?.text).toBe("$(check) p0: all 77 rules hold");
  expect(proofStatus({ ...states(), filesLeft: 1 }, "file:///a.limb")?.text).toContain("1 file not checked");
});

test.each([
  ["", "reason"],
  ['  "" ', "reason"],
  ["\n", "role"],
] as const)("an acceptance is not taken with %j as its %s", (written, what) => {
  expect(faultInWords(written, what)).toBeTypeOf("string");
});

test("an acceptance holds until a real day that is not over", () => {
  expect(faultInDay("2027-01-31", "2026-11-26")).toBeUndefined();
  expect(faultInDay("2026-11-26", "2026-11-26")).toBeUndefined();
  expect(faultInDay("2026-11-25", "2026-11-26")).toBe("2026-11-25 is over already.");
  for (const written of ["", "31.1.2027", "2027-02-30", "2027-13-01"]) {
    expect(faultInDay(written, "2026-11-26")).toContain("YYYY-MM-DD");
  }
  expect(faultInWords("Own audit", "reason")).toBeUndefined();
});

test("a name for a protocol is one of the language", () => {
  expect(["wrist-reduction", "a1"].map(faultInName)).toEqual([undefined, undefined]);
  expect(["", "Wrist", "wrist_reduction", "a--b", "9a"].filter((name) => !faultInName(name))).toEqual([]);
  expect(titleOf("wrist-reduction")).toBe("Wrist reduction");
});

const LINE: RunLine = {
  time: "0:00",
  seconds: 0,
  kind: "start",
  what: "inject local",
  after: "drug in the limb",
  standing: "",
  facts: [],
  isKey: true,
  isInjected: true,
};
const RUN: RunToStepThrough = {
  rule: "early-release",
  what: "The cuff is let down 20:00 too early.",
  isStale: false,
  steps: [LINE, { ...LINE, time: "1:30", what: "inject local ends", after: "" }],
  caution: "",
};

test("a run is stepped through from end to end, and not beyond", () => {
  const first = beginStepping(RUN);
  if (!first) throw new Error("the run has steps");
  expect(stepWords(first)).toBe("1 of 2, at 0:00: inject local; then drug in the limb");
  expect(wordsBeside(first, "    inject local")).toBe("1 of 2 · 0:00 · then drug in the limb");
  const last = moveBy(first, 5);
  expect(stepWords(last)).toBe("2 of 2, at 1:30: inject local ends. The cuff is let down 20:00 too early.");
  expect(moveBy(last, -9)).toEqual(first);
  expect(wordsBeside(markOld(first), "")).toContain("(from before the last change)");
  expect(beginStepping({ ...RUN, steps: [] })).toBeUndefined();
});

const RAN: ScenarioRan = {
  name: "Surgery ends early",
  protocol: "wrist",
  range: RANGE,
  outcome: "passed",
  lines: [{ range: RANGE, outcome: "passed", expected: "180 mg", found: "180 mg", told: 1 }],
  steps: [LINE],
  isStale: false,
  caution: "Not a medical device.",
};

test("a scenario that passed is told with what happened", () => {
  const told = testOutcome(RAN);
  expect(told).toMatchObject({ state: "passed", messages: [] });
  expect(told.output).toContain("inject local: drug in the limb");
});

test("a scenario that failed says at its line what was expected and found", () => {
  const lines = [
    { range: RANGE, outcome: "failed", expected: "180 mg", found: "200 mg", when: "12:00", told: 1 },
  ] as const;
  expect(testOutcome({ ...RAN, outcome: "failed", lines })).toMatchObject({
    state: "failed",
    messages: [
      { words: "Expected (12:00): 180 mg. Found: 200 mg", expected: "180 mg", found: "200 mg", range: RANGE },
    ],
  });
});

test("what is not decided, is gone, or was changed meanwhile never passed", () => {
  const lines = [{ range: RANGE, outcome: "not-decided", found: "it cannot be done", told: 0 }] as const;
  expect(testOutcome({ ...RAN, outcome: "not-decided", limit: "The text has errors.", lines })).toMatchObject(
    {
      state: "errored",
      messages: [
        { words: "Not decided: The text has errors." },
        { words: "Not decided: it cannot be done", range: RANGE },
      ],
    },
  );
  expect(testOutcome({ ...RAN, isStale: true }).state).toBe("errored");
  expect(testOutcome(null).state).toBe("errored");
});

const PAGE = { markup: "<main>1 change</main>", style: "p{margin:0}", files: {}, asTheyStand: [] };

test("the page of a comparison lets through its own script and style alone", () => {
  const page = comparisonHtml(PAGE, {
    script: "page.js",
    nonce: "n1",
    title: "</title><script>alert(1)</script>",
  });
  expect(page).toContain("default-src 'none'; script-src 'nonce-n1'; style-src 'nonce-n1'");
  expect(page).toContain("<title>&lt;/title>&lt;script>alert(1)&lt;/script></title>");
  expect(page.match(/<script/g)).toHaveLength(1);
});

test("a page opens only a line of a version of a file", () => {
  const line = { side: "now", file: "a.limb", line: 3 };
  expect(lineFrom(line)).toEqual(line);
  for (const other of [null, "x", { ...line, side: "later" }, { ...line, line: 0 }, { ...line, file: 1 }]) {
    expect(lineFrom(other)).toBeUndefined();
  }
});
