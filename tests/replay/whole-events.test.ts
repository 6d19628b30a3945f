import { expect, test } from "vitest";
import { judgeOf, replayed } from "./replayed.ts";

const JUDGE = judgeOf("wrist-reduction");

/** One case, a row a line, each a minute after the one before. */
function told(rows: readonly object[]) {
  const lines = rows.map((row, at) => JSON.stringify({ case: "a", time: `0:0${at}:00`, ...row }));
  const [report] = replayed(JUDGE, `${lines.join("\n")}\n`).cases;
  if (!report) throw new Error("there is no case");
  return report;
}

function deviationsOf(rows: readonly object[]) {
  return told(rows).deviations.map(({ kind, what }) => `${kind}: ${what}`);
}

test("what the protocol does not have deviates alike, whether it is told as data or in words", () => {
  const inWords = ["left", "right"].map((cuff) => ({ event: "start", value: `deflate ${cuff}` }));
  const asData = ["left", "right"].map((cuff) => ({
    event: { kind: "start", step: { kind: "deflate", cuff } },
  }));
  const found = deviationsOf(asData);
  expect(found).toEqual(deviationsOf(inWords));
  expect(found).toContain("unplanned-release: deflate left");
  expect(found).toContain("unplanned-release: deflate right");
});

test("what the protocol has is known alike, whether it is told as data or in words", () => {
  const inWords = [{ event: "start", value: "apply cuffs" }];
  const asData = [{ event: { kind: "start", step: { kind: "apply-cuffs" } } }];
  expect(told(asData)).toEqual(told(inWords));
});

test.each([
  ["a step in words", { kind: "start", step: "apply cuffs" }],
  ["a step without a kind", { kind: "start", step: {} }],
  ["a time that is no number", { kind: "start", step: { kind: "wait", for: "long" } }],
  ["a time that is no whole number of seconds", { kind: "start", step: { kind: "wait", for: 0.5 } }],
  ["a kind that is none", { kind: "note" }],
  ["an answer that is none", { kind: "answer", step: { kind: "ask", question: "x" }, answer: "perhaps" }],
  ["a list", []],
])("an event that is none of the vocabulary leaves the case not judged: %s", (_, event) => {
  const report = told([{ event: "start", value: "apply cuffs" }, { event }]);
  expect(report.notJudged.map(({ because }) => because)).toContain("unreadable-rows");
  expect(report.deviations).toEqual([]);
});

test("a question that is asked in the words of a step can be answered", () => {
  const judge = judgeOf("hand-laceration", (text) =>
    text.replace("Does the patient still agree?", "confirm upper"),
  );
  const rows = ["case,time,event,value", "a,0:00:00,answer,confirm upper: no", "a,0:05:00,finish,"];
  const [report] = replayed(judge, `${rows.join("\n")}\n`).cases;
  expect(report?.deviations.filter(({ what }) => what.startsWith("confirm upper"))).toEqual([]);
});
