import { readFileSync } from "node:fs";
import { join } from "node:path";
import { MOST_CHARACTERS, type RuleFile, type RunsExplored } from "@limbwright/shared/rule-file";
import { describe, expect, test } from "vitest";
import { referenceFaults } from "../../../shared/rule-file/references.ts";
import { baseTexts, textFrom } from "./compiled.ts";
import { faultsOf } from "./faults-of.ts";
import { changedAt, type Json, placesIn, withDigestsOf } from "./mutations.ts";

const text = textFrom(baseTexts());
const base = JSON.parse(text) as Json;

describe("the reader refuses, and says where and why", () => {
  const at = (path: string, value: Json) => withDigestsOf(changedAt(base, path, () => value));

  test("a field that is not known", () => {
    expect(faultsOf(changedAt(base, "/protocol/maximumDose", () => "1"))[0]).toMatchObject({
      where: "/protocol/maximumDose",
      what: "The field `maximumDose` is not known.",
    });
  });

  test("a field that is missing", () => {
    expect(faultsOf(changedAt(base, "/protocol/steps", () => undefined))[0]).toMatchObject({
      where: "/protocol/steps",
      what: "The field `steps` is missing.",
    });
  });

  test("another format, before anything else", () => {
    expect(faultsOf(changedAt(base, "/format", () => 1))[0]).toMatchObject({
      where: "/format",
      what: "The file has format 1; this reader knows format 6.",
      why: expect.stringContaining('Before format 4, an age "to 64 years" ended on the 64th birthday'),
    });
  });

  test("each earlier format by its number, with what to do, and a later one otherwise", () => {
    for (const format of [1, 2, 3, 4, 5]) {
      const [fault, ...others] = faultsOf(changedAt(base, "/format", () => format));
      expect(others).toEqual([]);
      expect(fault?.what).toBe(`The file has format ${format}; this reader knows format 6.`);
      expect(fault?.why).toMatch(
        /Compile the protocol again from its text, and have it approved anew: .*\.$/,
      );
    }
    const [later] = faultsOf(changedAt(base, "/format", () => 7));
    expect(later?.what).toBe("The file has format 7; this reader knows format 6.");
    expect(later?.why).toContain("Read it with the version that wrote it, or with a newer one.");
  });

  test("a number with a trailing zero, or as a JSON number", () => {
    expect(faultsOf(changedAt(base, "/protocol/timers/0/atLeast/value", () => "30.0"))[0]?.where).toBe(
      "/protocol/timers/0/atLeast/value",
    );
    expect(faultsOf(changedAt(base, "/protocol/timers/0/atLeast/value", () => 30))[0]).toMatchObject({
      where: "/protocol/timers/0/atLeast/value",
      what: "This takes a text.",
    });
  });

  test("a unit that is not the UCUM code", () => {
    expect(faultsOf(changedAt(base, "/protocol/cuffs/ceiling/unit", () => "mmHg"))[0]).toMatchObject({
      where: "/protocol/cuffs/ceiling/unit",
    });
  });

  test("contents that the digests are not of", () => {
    const faults = faultsOf(changedAt(base, "/protocol/timers/0/atLeast/value", () => "3"));
    expect(faults.map(({ where }) => where)).toEqual(["/digests/meaning"]);
    expect(faultsOf(changedAt(base, "/standing/status/kind", () => "in-review"))[0]?.where).toBe(
      "/digests/proof",
    );
  });

  test("a proof of another protocol", () => {
    const other = changedAt(base, "/protocol/title", () => "Another") as { digests: Json };
    const { digests } = withDigestsOf(other) as { digests: { meaning: string } };
    const forged = changedAt(other, "/digests/meaning", () => digests.meaning);
    expect(faultsOf(forged).map(({ where }) => where)).toEqual(["/digests/proof"]);
  });

  test("a name that nothing has", () => {
    expect(faultsOf(at("/protocol/doses/0/agent", "nobody"))).toMatchObject([
      { where: "/protocol/doses/0/agent", what: "No agent of this file is called `nobody`." },
    ]);
    expect(faultsOf(at("/protocol/timers/0/from/target", "nothing"))[0]?.where).toBe(
      "/protocol/timers/0/from/target",
    );
    expect(faultsOf(at("/protocol/steps/5/cuffs/on/0/label", "green"))[0]?.where).toBe(
      "/protocol/steps/5/cuffs/on/0",
    );
  });

  test.each([
    ["location", "/runs/automaton/edges/0/to", 100_000, "There is no location 100000 in this file."],
    ["location", "/runs/automaton/edges/0/from/0", 100_000, "There is no location 100000 in this file."],
    ["check", "/runs/automaton/edges/0/checks", [100_000], "There is no check 100000 in this file."],
    ["location", "/runs/automaton/initial", 100_000, "There is no location 100000 in this file."],
    ["clock", "/runs/timers/0/clock", "sundial", "No clock of this file is called `sundial`."],
    ["variable", "/runs/timers/0/runs/variable", "mood", "No variable of this file is called `mood`."],
    ["rule", "/runs/endedBy", ["no-such-rule"], "No rule of this file is called `no-such-rule`."],
    ["dose", "/runs/given/1/doses/0/dose", "nothing", "No dose of this file is called `nothing`."],
  ] as const)("a %s of the automaton that is not there: %s", (_, path, value, what) => {
    const found = faultsOf(at(path, value as unknown as Json));
    expect(found.map((fault) => fault.what)).toContain(what);
    expect(found[0]?.where.startsWith(path)).toBe(true);
  });

  test("what hides deep inside a condition, an assignment or a check", () => {
    const named = placesIn(base).filter((path) => /^\/runs\/automaton\/.*\/(variable|clock)$/.test(path));
    const places = named.filter((_, at) => at % 7 === 0);
    const faultsAt = (path: string) =>
      referenceFaults(changedAt(base, path, () => "sundial") as unknown as RuleFile);
    const unnoticed = places.filter((path) => faultsAt(path)[0]?.where !== path);
    expect(places.length).toBeGreaterThan(30);
    expect(unnoticed).toEqual([]);
  });

  test("two clocks with one name", () => {
    const [first = ""] = (base as unknown as RuleFile & { runs: RunsExplored }).runs.automaton.clocks;
    expect(faultsOf(at("/runs/automaton/clocks/1", first)).map(({ what }) => what)).toContain(
      `\`${first}\` stands twice.`,
    );
  });

  test("a source map that leads nowhere", () => {
    const nowhere = { source: 0, start: { line: 1, column: 1 }, end: { line: 1, column: 2 } };
    expect(faultsOf(changedAt(base, "/origins/~1protocol~1doses~199", () => nowhere))[0]?.where).toBe(
      "/origins/~1protocol~1doses~199",
    );
    expect(faultsOf(changedAt(base, "/origins/~1protocol/source", () => 99))[0]?.what).toBe(
      "There is no source 99.",
    );
  });

  test("a key that stands twice", () => {
    const twice = text.replace('"protocol":{', '"protocol":{"version":"9.9.9",');
    expect(faultsOf(twice)[0]).toMatchObject({
      where: "/protocol/version",
      what: "The field `version` stands twice.",
    });
    const escaped = text.replace('"protocol":{', '"protocol":{"versio\\u006e":"9.9.9",');
    expect(faultsOf(escaped)[0]?.where).toBe("/protocol/version");
  });

  test("text that is cut off, no JSON, or empty", () => {
    for (const broken of [text.slice(0, -1), "", "protocol {", "\u0000"]) {
      expect(faultsOf(broken)[0]?.what).toBe("The text is not JSON.");
    }
    for (const other of ["[]", "null", "1", '"x"']) expect(faultsOf(other)[0]?.where).toBe("/format");
  });

  test("nesting without end, at once", () => {
    const deep = `{"format":2,"extra":${'{"a":'.repeat(100_000)}1${"}".repeat(100_000)}}`;
    expect(faultsOf(deep)[0]?.what).toContain("nested deeper");
  });

  test("a file longer than any protocol needs, before reading it", () => {
    expect(faultsOf(" ".repeat(MOST_CHARACTERS + 1))[0]?.what).toContain("longer than 16 million");
  });

  test("half a character, of which there is no digest", () => {
    expect(faultsOf(changedAt(base, "/protocol/title", () => "\ud800"))[0]?.what).toContain(
      "half a character",
    );
  });
});

test("the reader takes what is inside `extra`, and a file that was indented", () => {
  const extra = changedAt(base, "/extra", () => ({ anything: [1, { at: "all" }] }));
  expect(faultsOf(extra)).toEqual([]);
  expect(faultsOf(JSON.stringify(extra, undefined, 2))).toEqual([]);
});

test("the reader compiles nothing at run time, which browsers' content policies refuse", () => {
  const generated = join(import.meta.dirname, "../../../shared/rule-file/generated/validate-rule-file.js");
  const code = readFileSync(generated, "utf8");
  expect(code).toContain("additionalProperties");
  expect(code).not.toMatch(/\beval\s*\(|\bnew Function\b|\bFunction\s*\(/);
});
