import { pointer, type RuleFileFault } from "./fault.ts";
import type { SchemaError } from "./generated/validate-rule-file.js";

/** The schema's complaint that tells most, in words. Where one of several forms was possible, the nearest counts. */
export function schemaFault(errors: readonly SchemaError[]): RuleFileFault {
  const [first] = [...errors].sort(
    (a, b) => depth(b) - depth(a) || Number(isChoice(a)) - Number(isChoice(b)),
  );
  if (!first) return { where: "", what: "The file is not what the schema asks for.", why: WHY };
  const key = keyOf(first);
  const where = key === undefined ? first.instancePath : pointer(first.instancePath, key);
  return { where, what: wordsOf(first, key), why: WHY };
}

const WHY = "A program that read it all the same could act on something the file does not say.";

/** A choice between forms has failed; the complaint about one of the forms tells more, if it got further. */
function isChoice({ keyword }: SchemaError): boolean {
  return keyword === "oneOf" || keyword === "if" || keyword === "const" || keyword === "enum";
}

function depth({ instancePath }: SchemaError): number {
  return instancePath.split("/").length;
}

/** The member of the place that the complaint is about. */
function keyOf({ keyword, params }: SchemaError): string | undefined {
  if (keyword === "required") return String(params.missingProperty);
  if (keyword === "additionalProperties") return String(params.additionalProperty);
  return undefined;
}

function wordsOf({ keyword, params }: SchemaError, key: string | undefined): string {
  switch (keyword) {
    case "required":
      return `The field \`${key}\` is missing.`;
    case "additionalProperties":
      return `The field \`${key}\` is not known.`;
    case "false schema":
      return "This field does not belong here.";
    case "type":
      return `This takes ${TYPE_WORDS[String(params.type)] ?? params.type}.`;
    case "const":
      return `This takes exactly ${JSON.stringify(params.allowedValue)}.`;
    case "enum":
      return `This takes one of ${(params.allowedValues as unknown[]).map((value) => JSON.stringify(value)).join(", ")}.`;
    case "pattern":
      return `This is not written as it has to be (${params.pattern}).`;
    case "oneOf":
      return "This has none of the forms that are possible here.";
    default:
      return `This is outside what the schema allows (${keyword} ${params.limit ?? ""}).`;
  }
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  array: "a list",
  boolean: "true or false",
  integer: "a whole number",
  number: "a number",
  object: "an object with fields",
  string: "a text",
};
