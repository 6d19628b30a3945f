import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const BASE = readFileSync(join(import.meta.dirname, "base/protocol.limb"), "utf8");
const STEPS = /^ {2}steps [\s\S]*?^ {2}\}$/m.exec(BASE)?.[0] ?? "";

/** The base protocol's steps with some words in the place of others. */
function stepsWith(words: string, others: string): string {
  if (!STEPS.includes(words)) throw new Error(`the steps have no "${words}"`);
  return STEPS.replace(words, others);
}

function found(text: string, rule: string) {
  return checkExample(text).check.findings.filter((finding) => finding.rule === rule);
}

const nexts = (text: string, rule: string) => found(text, rule).map(({ next }) => next);

const staged = (step: string) =>
  stepsWith(
    "do staged-release",
    `repeat 2 times {\n      ${step}\n      watch 1 min\n    }\n    deflate all`,
  );

describe("what to do next about a staged release", () => {
  test("that is flat for too long: let it down for less", () => {
    expect(found(staged("deflate all for 25 s"), "deflation-too-long")).toMatchObject([
      { next: expect.stringMatching(/^Let the cuff down for 10 s\./), repairs: [{ title: "Write 10 s" }] },
    ]);
  });

  test("that says 10 s already: what takes long is to bring the cuff up again", () => {
    const [finding] = found(staged("deflate all for 10 s takes 45 s"), "deflation-too-long");
    expect(finding?.next).toContain("takes up to 45 s to come up again");
    expect(finding?.next).not.toContain("Let the cuff down for 10 s");
    expect(finding?.repairs).toEqual([]);
  });

  test("whose cuff comes up slowly: the time flat is less by that", () => {
    const slow = staged("deflate all for 10 s takes 22 s");
    expect(nexts(slow, "deflation-too-long")).toEqual([
      expect.stringMatching(/^Let the cuff down for 8 s\./),
    ]);
    expect(found(slow.replace("for 10 s", "for 8 s"), "deflation-too-long")).toEqual([]);
  });
});

test("one cuff alone is not let down for a time: `all` can be, and nobody is told to write an emergency", () => {
  const [finding] = found(staged("deflate proximal for 10 s"), "text-not-understood");
  expect(finding?.next).toContain("`deflate all for 10 s`");
  expect(finding?.next).not.toContain("emergency");
  expect(found(staged("deflate all for 10 s"), "text-not-understood")).toEqual([]);
});

const SWAP = "inflate distal\n        confirm distal\n        deflate proximal";

test("an answer that finds things as it has left them is to come once", () => {
  const text = stepsWith("when tourniquet-pain once {", "when tourniquet-pain {");
  expect(text).toContain(SWAP);
  expect(nexts(text, "step-out-of-place")).toEqual([
    expect.stringMatching(/^Write `when tourniquet-pain once`/),
  ]);
});

test("a step that is out of place at once is not told to come once", () => {
  const text = stepsWith(
    `when tourniquet-pain once {\n        ${SWAP}`,
    "when tourniquet-pain {\n        deflate distal",
  );
  expect(nexts(text, "step-out-of-place")).toEqual([expect.not.stringContaining("once")]);
});

describe("a timer that is declared nowhere", () => {
  const without = (name: string) => `timer ${name} from end of local {\n  at least 30 min\n}\n`;

  test("is shown as it is written, and passes as shown", () => {
    const waits = `protocol bare "Bare" {\n  dose local of lidocaine {\n    amount 200 mg\n  }\n  steps {\n    wait for hold\n  }\n}`;
    const [next = ""] = nexts(`use "formulary.limb"\n${waits}`, "name-unknown");
    const [, shown = ""] = /`(timer [^`]*)`/.exec(next) ?? [];
    expect(shown).toBe("timer hold from end of local { at least 30 min }");
    const written = shown.replace("{ ", "{\n    ").replace(" }", "\n  }");
    const mended = waits.replace("  steps {", `  ${written}\n  steps {`);
    expect(nexts(`use "formulary.limb"\n${mended}`, "name-unknown")).toEqual([]);
  });

  test("stands beside those that are declared", () => {
    const text = `${without("hold")}${stepsWith("wait for hold", "wait for numbness")}`;
    expect(nexts(text, "name-unknown")).toEqual([
      "Write it in the protocol, as in `timer numbness from end of local { at least 30 min }`, on three lines, or name one that is declared: `hold`.",
    ]);
  });
});

describe("an answer to a leak passes as it is advised", () => {
  const answer = (...lines: string[]) =>
    `throughout {\n  when toxicity-signs {\n    go to emergency toxicity\n  }\n  when cuff-leak {\n    ${lines.join("\n    ")}\n  }\n}`;
  const HALF = "dose local of lidocaine {\n  amount 1.5 mg/kg up to 100 mg\n  over 90 s to 3 min\n}";
  const twice = (second: string) =>
    `${HALF}\n${stepsWith("    inject local\n", `    inject local\n    ${second}\n`)}`;
  const leaks = (text: string) => found(text, "cuff-failure-not-handled");

  test("where there is none", () => {
    const none = "throughout {\n  when toxicity-signs {\n    go to emergency toxicity\n  }\n}";
    expect(leaks(none)[0]?.next).toContain("`when cuff-leak { inflate all … confirm all }`");
    expect(leaks(answer("inflate all", "confirm all"))).toEqual([]);
  });

  test("where it does not hold the drug", () => {
    expect(leaks(answer("confirm all"))[0]?.next).toContain("Begin it with `inflate all` and `confirm all`");
    expect(leaks(answer("inflate all", "confirm all else {\n  go to emergency toxicity\n}"))).toEqual([]);
  });

  test("where an injection would go on by itself: with a decision at its end, or a question before the injection", () => {
    const goesOn = `${answer("inflate all", "confirm all")}\n${twice("inject local")}`;
    const [next = ""] = leaks(goesOn).map((one) => one.next);
    const [, task = ""] = /`(task [^`]*)`/.exec(next) ?? [];
    expect(task).toBe('task cuff-decision "Go on with the injection?"');
    expect(leaks(`${answer("inflate all", "confirm all", task)}\n${twice("inject local")}`)).toEqual([]);
    expect(next).toContain("ask so before this step and inject under *yes* alone");
    const asked = 'ask "Go on with the injection?" {\n yes {\n inject local\n }\n no {\n wait 1 min\n }\n }';
    expect(leaks(`${answer("inflate all", "confirm all")}\n${twice(asked)}`)).toEqual([]);
  });
});
