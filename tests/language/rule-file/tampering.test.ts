import { verifyRuleFile } from "@limbwright/language";
import type { RuleFile } from "@limbwright/shared/rule-file";
import { describe, expect, test } from "vitest";
import { baseTexts, textFrom } from "./compiled.ts";
import { changedAt, type Json, withDigestsOf, withoutLostPlaces } from "./mutations.ts";

const text = textFrom(baseTexts());
const base = JSON.parse(text) as Json;
const file = base as unknown as RuleFile;

function forged(path: string, change: (old: Json) => Json | undefined): string {
  return JSON.stringify(withDigestsOf(withoutLostPlaces(changedAt(base, path, change))));
}

/** What is said of a forged file. */
function differences(path: string, change: (old: Json) => Json | undefined) {
  const verification = verifyRuleFile(forged(path, change));
  return verification.kind === "differs" ? verification.differences : [];
}

describe("with the digests computed again by the forger", () => {
  test("a dose that is raised over its maximum is found by proving the rules again", () => {
    const local = file.protocol.doses.findIndex(({ name }) => name === "local");
    const path = `/protocol/doses/${local}/amount/formula/of/quantity/value`;
    const verification = verifyRuleFile(forged(path, () => "9"));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences.map(({ what }) => what)).toContain(
      "The file says that `dose-over-maximum` holds; judged again it is broken.",
    );
    expect(verification.differences.map(({ where }) => where)).toContain("/use");
  });

  test("a pressure under the margin is found by proving the rules again", () => {
    const path = "/protocol/cuffs/pressure/left/right/quantity/value";
    const verification = verifyRuleFile(forged(path, () => "10"));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences.map(({ what }) => what)).toContain(
      "The file says that `pressure-margin-too-small` holds; judged again it is broken.",
    );
  });

  test("a verdict that is turned round is found", () => {
    const { verdicts } = file.proof;
    const at = verdicts.findIndex(({ rule }) => rule === "early-release");
    const parameters = verdicts[at]?.parameters ?? [];
    const undecided = {
      rule: "early-release",
      kind: "not-decided",
      limit: "too many runs",
      mayBeUnsafe: true,
      parameters,
    };
    expect(differences(`/proof/verdicts/${at}`, () => undecided as unknown as Json)).toEqual([
      {
        where: `/proof/verdicts/${at}`,
        what: "The file says that `early-release` is not decided; judged again it holds.",
      },
    ]);
  });

  test("a wait that is taken out of the steps is found by going through the runs again", () => {
    const at = file.protocol.steps.findIndex(({ kind }) => kind === "wait-for");
    const found = differences(`/protocol/steps/${at}`, () => undefined);
    expect(found.map(({ what }) => what)).toContain(
      "The file says that `early-release` holds; judged again it is broken.",
    );
    expect(found.some(({ where }) => where.startsWith("/runs/automaton/"))).toBe(true);
  });

  test("a rule that is left out is found", () => {
    const verification = verifyRuleFile(forged("/proof/verdicts", (old) => (old as Json[]).slice(1)));
    expect(verification.kind).toBe("differs");
  });

  test("units that do not fit together are told as such", () => {
    const path = "/protocol/cuffs/pressure/left/right/quantity/unit";
    const verification = verifyRuleFile(forged(path, () => "mg"));
    if (verification.kind !== "differs") throw new Error("not found");
    expect(verification.differences[0]?.what).toContain("makes no sense");
  });
});

describe("what the file says of the runs, with the digests computed again by the forger", () => {
  if (file.runs.kind !== "explored") throw new Error("the runs of the example are explored");
  const { automaton, envelope } = file.runs;
  const edge = (says: string, kind: string) =>
    automaton.edges.findIndex((one) => one.says === says && one.kind === kind);

  test("a guard that is changed", () => {
    const at = edge("wait for hold", "end");
    const path = `/runs/automaton/edges/${at}/guard/0/seconds`;
    expect(differences(path, () => 60)).toEqual([
      { where: path, what: "The file says 60; computed again it is 1800." },
    ]);
  });

  test("an edge that is dropped", () => {
    const at = edge("toxicity-signs", "event");
    expect(differences(`/runs/automaton/edges/${at}`, () => undefined)).toEqual([
      {
        where: "/runs/automaton/edges",
        what: "The file lacks `toxicity-signs` (event); computed again it is there.",
      },
    ]);
  });

  test("an edge that is added", () => {
    const shortcut = { kind: "pass", says: "skip the wait", from: [0], to: 0 };
    const added = differences("/runs/automaton/edges", (old) => [...(old as Json[]), shortcut]);
    expect(added.map(({ what }) => what)).toEqual([
      "The file has `skip the wait` (pass); computed again it is not there.",
    ]);
  });

  test("a check that no longer asks for what it should", () => {
    const at = automaton.checks.findIndex(({ rule, clocks }) => rule === "early-release" && clocks);
    const path = `/runs/automaton/checks/${at}/clocks/0/seconds`;
    expect(differences(path, () => 600)[0]).toEqual({
      where: path,
      what: "The file says 600; computed again it is 1800.",
    });
  });

  test("an envelope that is narrower", () => {
    expect(envelope.release?.earliest).toEqual({ seconds: 1800, attained: true });
    expect(differences("/runs/envelope/release/earliest/seconds", () => 2400)).toEqual([
      {
        where: "/runs/envelope/release/earliest/seconds",
        what: "The file says 2400; computed again it is 1800.",
      },
    ]);
  });

  test("an assumption that is left out", () => {
    const at = file.proof.verdicts.findIndex((one) => "assumptions" in one && one.assumptions?.length);
    const found = differences(`/proof/verdicts/${at}/assumptions`, () => []);
    expect(found.length).toBeGreaterThan(0);
    expect(found[0]?.what).toContain("The file lacks");
  });

  test("runs that are said not to have been explored", () => {
    const found = differences("/runs", () => ({ kind: "not-explored", limit: "no time" }));
    expect(found.length).toBeGreaterThan(0);
  });

  test("another automaton altogether, in not too many words", () => {
    const found = differences("/runs/automaton/edges", (old) =>
      (old as { says: string }[]).map((one) => ({ ...one, says: `${one.says}!` })),
    );
    expect(found.length).toBe(21);
    expect(found.at(-1)?.what).toMatch(/^It differs at \d+ more places\.$/);
  });
});

test("a change without new digests is found at once", () => {
  const changed = JSON.stringify(changedAt(base, "/protocol/title", () => "Another"));
  expect(verifyRuleFile(changed).kind).toBe("unreadable");
});

test("what was judged again is told apart from what the file cannot prove", () => {
  const verification = verifyRuleFile(text, { meaning: file.digests.meaning });
  if (verification.kind !== "agrees") throw new Error("it should agree");
  expect(verification.proven).toContain("dose-over-maximum");
  expect(verification.proven).toContain("early-release");
  expect(verification.notProven.map(({ rule }) => rule)).toContain("trailing-zero");
});

test("another approved meaning is a difference", () => {
  const verification = verifyRuleFile(text, { meaning: `sha256:${"0".repeat(64)}` });
  expect(verification).toMatchObject({ kind: "differs", differences: [{ where: "/digests/meaning" }] });
});
