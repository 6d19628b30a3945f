import { createRequire } from "node:module";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { baseTexts, textFrom } from "./compiled.ts";
import { compiledExamples } from "./example-site.ts";

const schema: unknown = createRequire(import.meta.url)("@limbwright/shared/rule-file.schema.json");
const ajv = new Ajv2020({ strict: true, allErrors: true });
const validate = ajv.compile(schema as object);

type Part = Readonly<Record<string, unknown>>;

/** Every part of the schema that is itself a schema, with its path. */
function partsOf(part: unknown, path = "#"): [string, Part][] {
  if (typeof part !== "object" || part === null || Array.isArray(part)) return [];
  const of = part as Part;
  const maps = ["properties", "$defs", "patternProperties"].flatMap((key) =>
    Object.entries((of[key] as Part | undefined) ?? {}).flatMap(([name, inner]) =>
      partsOf(inner, `${path}/${key}/${name}`),
    ),
  );
  return [[path, of], ...maps, ...partsOf(of.items, `${path}/items`)];
}

const parts = partsOf(schema);

test("the schema is valid JSON Schema 2020-12 and names that version", () => {
  expect(ajv.validateSchema(schema as object)).toBe(true);
  expect((schema as Part).$schema).toBe("https://json-schema.org/draft/2020-12/schema");
});

test("every object refuses fields that are not known, except `extra`", () => {
  const objects = parts.filter(([, part]) => part.type === "object");
  const open = objects.filter(([, part]) => part.additionalProperties !== false).map(([path]) => path);
  expect(objects.length).toBeGreaterThan(50);
  expect(open).toEqual(["#/properties/extra"]);
});

test("every field and every definition is described", () => {
  const described = (part: Part): boolean => {
    const definition = parts.find(([path]) => path === part.$ref)?.[1];
    return typeof part.description === "string" || (definition !== undefined && described(definition));
  };
  const fields = parts.filter(([path]) => /\/(properties|\$defs)\/[^/]+$/.test(path));
  expect(fields.length).toBeGreaterThan(200);
  expect(fields.filter(([, part]) => !described(part)).map(([path]) => path)).toEqual([]);
});

test("no number that matters is a JSON number: exact decimals are texts", () => {
  expect(parts.filter(([, part]) => part.type === "number").map(([path]) => path)).toEqual([]);
});

test("the base example validates", () => {
  expect(validate(JSON.parse(textFrom(baseTexts())))).toBe(true);
  expect(validate.errors).toBeNull();
});

describe("every example of the hospital", () => {
  test.each(compiledExamples().map((one) => [one.protocol, one.text] as const))("%s", (_, text) => {
    validate(JSON.parse(text));
    expect(validate.errors ?? []).toEqual([]);
  });
});
