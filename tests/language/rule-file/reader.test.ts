import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { MOST_CHARACTERS, readRuleFile } from "@limbwright/shared/rule-file";
import Ajv2020 from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { baseTexts, textFrom } from "./compiled.ts";
import { compiledExamples } from "./example-site.ts";
import { changedAt, type Json, placesIn, withDigestsOf } from "./mutations.ts";

const schema = createRequire(import.meta.url)("@limbwright/shared/rule-file.schema.json") as object;
const validate = new Ajv2020({ strict: true }).compile(schema);
const text = textFrom(baseTexts());
const base = JSON.parse(text) as Json;
const SEED = 20261125;
const RUNS = 400;

function faultsOf(value: Json | string) {
  const reading = readRuleFile(typeof value === "string" ? value : JSON.stringify(value));
  return reading.kind === "read" ? [] : reading.faults;
}

describe("the reader and the schema say the same of files that were changed at random", () => {
  const files = [base, ...compiledExamples().map((one) => JSON.parse(one.text) as Json)].map((file) => ({
    file,
    places: placesIn(file),
  }));
  const anyJson = fc.oneof(
    fc.constantFrom<Json>(null, true, 0, -1, 1.5, "", "0", "1.50", "/", [], {}),
    fc.jsonValue({ maxDepth: 2 }) as fc.Arbitrary<Json>,
  );
  const change = fc.oneof(
    fc.constant(() => undefined),
    anyJson.map((value) => () => value),
    fc.tuple(fc.string({ minLength: 1, maxLength: 5 }), anyJson).map(([key, value]) => (old: Json): Json => {
      if (Array.isArray(old)) return [...old, value];
      return typeof old === "object" && old !== null ? { ...old, [key]: value } : value;
    }),
  );
  const REFERENCES =
    /^(No .* of this file is called|`.*` stands twice|`.*` leads to nothing|There is no source|The place ends)/s;

  test(`with the digests as they were (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.constantFrom(...files), fc.nat(), change, ({ file, places }, at, how) => {
        const path = places[at % places.length] ?? "";
        const mutated = changedAt(file, path, how);
        const isSame = JSON.stringify(mutated) === JSON.stringify(file);
        const isRead = faultsOf(mutated).length === 0;
        if (!validate(mutated)) expect(isRead).toBe(false);
        else if (isSame) expect(isRead).toBe(true);
        else if (/^\/(extra|origins|sources)/.test(path)) expect(typeof isRead).toBe("boolean");
        else if (path !== "") expect(isRead).toBe(false);
      }),
      { seed: SEED, numRuns: RUNS },
    );
  });

  test(`with the digests computed again (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.constantFrom(...files), fc.nat(), change, ({ file, places }, at, how) => {
        const mutated = changedAt(file, places[at % places.length] ?? "", how);
        if (!validate(mutated)) {
          expect(faultsOf(mutated)).not.toEqual([]);
          return;
        }
        for (const { what } of faultsOf(withDigestsOf(mutated))) expect(what).toMatch(REFERENCES);
      }),
      { seed: SEED, numRuns: RUNS },
    );
  });
});

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
    expect(faultsOf(changedAt(base, "/format", () => 2))[0]).toMatchObject({
      where: "/format",
      what: "The file has format 2; this reader knows format 1.",
    });
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
    expect(faultsOf(at("/protocol/steps/4/cuffs/on/0/label", "green"))[0]?.where).toBe(
      "/protocol/steps/4/cuffs/on/0",
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
    const deep = `{"format":1,"extra":${'{"a":'.repeat(100_000)}1${"}".repeat(100_000)}}`;
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
