import { createRequire } from "node:module";
import Ajv2020 from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { firstSeed, howMany } from "../../questions.ts";
import { baseTexts, textFrom } from "./compiled.ts";
import { compiledExamples } from "./example-site.ts";
import { faultsOf } from "./faults-of.ts";
import { changedAt, type Json, placesIn, withDigestsOf } from "./mutations.ts";

const ASKED = { seed: firstSeed(), numRuns: howMany(1_200) };

const schema = createRequire(import.meta.url)("@limbwright/shared/rule-file.schema.json") as object;
const validate = new Ajv2020({ strict: true }).compile(schema);
const texts = [textFrom(baseTexts()), ...compiledExamples().map(({ text }) => text)];
const files = texts.map((text) => JSON.parse(text) as Json).map((file) => ({ file, places: placesIn(file) }));

describe("the reader and the schema say the same of files that were changed at random", () => {
  test("with the digests as they were", () => {
    fc.assert(
      fc.property(fc.constantFrom(...files), fc.nat(), CHANGE, ({ file, places }, at, how) => {
        const path = places[at % places.length] ?? "";
        const mutated = changedAt(file, path, how);
        const expected = validate(mutated) && isReadable(file, mutated, path);
        if (expected !== "maybe") expect(faultsOf(mutated).length === 0).toBe(expected);
      }),
      ASKED,
    );
  });

  test("with the digests computed again", () => {
    fc.assert(
      fc.property(fc.constantFrom(...files), fc.nat(), CHANGE, ({ file, places }, at, how) => {
        const mutated = changedAt(file, places[at % places.length] ?? "", how);
        if (!validate(mutated)) {
          expect(faultsOf(mutated)).not.toEqual([]);
          return;
        }
        for (const { what } of faultsOf(withDigestsOf(mutated))) expect(what).toMatch(REFERENCES);
      }),
      ASKED,
    );
  });
});

/** Whether a file that the schema has nothing against is read; the source map may lead nowhere. */
function isReadable(file: Json, mutated: Json, path: string): boolean | "maybe" {
  if (JSON.stringify(mutated) === JSON.stringify(file)) return true;
  return path === "" || /^\/(extra|origins|sources)/.test(path) ? "maybe" : false;
}

const ANY_JSON = fc.oneof(
  fc.constantFrom<Json>(null, true, 0, -1, 1.5, "", "0", "1.50", "/", [], {}),
  fc.jsonValue({ maxDepth: 2 }) as fc.Arbitrary<Json>,
);

const CHANGE = fc.oneof(
  fc.constant(() => undefined),
  ANY_JSON.map((value) => () => value),
  fc.tuple(fc.string({ minLength: 1, maxLength: 5 }), ANY_JSON).map(([key, value]) => (old: Json): Json => {
    if (Array.isArray(old)) return [...old, value];
    return typeof old === "object" && old !== null ? { ...old, [key]: value } : value;
  }),
);

const REFERENCES =
  /^(No .* of this file is called|`.*` stands twice|`.*` leads to nothing|There is no (source|location|check)|The place ends)/s;
