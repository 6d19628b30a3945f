import type { ProtocolJudgement } from "@limbwright/language";
import { expect, test } from "vitest";
import { FAULTS, type Fault, type FaultTable } from "../../../language/runs/index.ts";
import { checkExample } from "../../rules/page-examples.ts";

function judged(sections: string): ProtocolJudgement {
  const { check } = checkExample(sections);
  const protocol = check.protocols.find(({ protocol: { name } }) => name === "example");
  if (!protocol) throw new Error("the example has no protocol");
  return protocol;
}

function faultsOf(sections: string): FaultTable {
  const { explored, verdicts } = judged(sections);
  return explored.faults(verdicts.filter(({ kind }) => kind === "holds").map(({ rule }) => rule));
}

const cell = ({ rows }: FaultTable, rule: string, fault: Fault) =>
  rows.find((row) => row.rule === rule)?.cells[fault];

/** The faults that break a rule, each with the first place where it is made. */
function breaking(table: FaultTable, rule: string): string[] {
  return FAULTS.flatMap((fault) => {
    const answer = cell(table, rule, fault);
    return answer?.kind === "breaks" ? [`${fault}: ${answer.says}`] : [];
  });
}

/** That such slips happen is common practice, no source; what each does is reckoned from the steps. */
test("each rule of the whole example is told what one fault does to it", () => {
  const table = faultsOf("status draft");
  expect(table.notAsked).toEqual([]);
  // With the drug behind one cuff, a leak lets it go; so does the wrong line. No slip of the hand leaves no cuff up
  // without first breaking what a step needs.
  expect(breaking(table, "no-cuff-up")).toEqual([
    "leak: a cuff loses pressure",
    "both-leak: both cuffs lose pressure together",
    "wrong-line: `inject local` goes into the line of another limb",
  ]);
  expect(breaking(table, "early-release")).toEqual(["skipped: `wait for hold` is skipped"]);
  expect(breaking(table, "inject-with-bandage-on")).toEqual(["skipped: `remove bandage` is skipped"]);
  expect(breaking(table, "bandage-off-before-occlusion")).toEqual([
    "skipped: `confirm proximal` is skipped",
    "wrong-cuff: `confirm proximal` is done on distal",
  ]);
  expect(breaking(table, "swap-before-onset")).toEqual(["skipped: `wait 5 min` is skipped"]);
  expect(breaking(table, "recovery-too-short")).toEqual(["skipped: `recovery 30 min` is skipped"]);
  expect(breaking(table, "no-toxicity-plan")).toEqual([]);
});

test("a cell counts the ways of making the fault and those that break the rule, and shows a run", () => {
  const skipped = cell(faultsOf("status draft"), "unstaged-release", "skipped");
  expect(skipped).toMatchObject({ kind: "breaks", breaking: 2, ways: 31 });
  expect(skipped?.kind === "breaks" && skipped.run.steps.at(-1)?.says).toBe("recovery 30 min");
});

test("a fault that the protocol offers no way of making is absent, and a broken rule is not asked", () => {
  const oneCuff = `cuffs proximal "grey" on upper-arm {
    pressure greater of systolic + 100 mmHg and 250 mmHg
    ceiling 300 mmHg
    fits 25 to 40 cm
  }
  steps {
    apply cuffs
    insert cannula
    exsanguinate by elevation 1 min
    inflate proximal
    confirm proximal
    inject local
    wait 10 min
    do staged-release
    recovery 30 min
  }`;
  const table = faultsOf(oneCuff);
  expect(cell(table, "no-cuff-up", "wrong-cuff")).toEqual({ kind: "absent" });
  expect(cell(table, "no-cuff-up", "both-leak")).toEqual({ kind: "absent" });
  expect(table.notAsked).toContain("early-release");
});
