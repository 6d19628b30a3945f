// The JSON Schema of the rule file, from the parts of its page.

import { fieldsOf, takenParts } from "./rule-file-page.mjs";

const MOST = Number.MAX_SAFE_INTEGER;
const POINTER = "^(?:/(?:[^~/]|~[01])*)+$";

/** The whole schema, as it is published. */
export function schemaOf(parts) {
  const { description, ...root } = partSchema(parts, parts.get("RuleFile"));
  const taken = takenParts(parts);
  const others = [...parts].filter(([name]) => name !== "RuleFile" && !taken.has(name));
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    $id: root.properties.$schema.const,
    title: "RuleFile",
    description,
    ...root,
    $defs: Object.fromEntries(others.map(([name, part]) => [name, partSchema(parts, part)])),
  };
}

function partSchema(parts, part) {
  const { description } = part;
  switch (part.is) {
    case "fields":
      return { description, ...fieldsSchema(fieldsOf(parts, part)) };
    case "quantity":
      return {
        description,
        ...object(["value", "unit"], {
          value: { description: "How many of the unit.", $ref: "#/$defs/ExactNumber" },
          unit: { description: "The unit's UCUM code.", enum: part.units },
        }),
      };
    case "range":
      return {
        description,
        ...object(["unit"], {
          unit: { description: "The unit of both ends, its UCUM code.", enum: part.units },
          lower: { description: "The lower end.", $ref: "#/$defs/Edge" },
          upper: { description: "The upper end.", $ref: "#/$defs/Edge" },
        }),
        minProperties: 2,
      };
    case "choice":
      return { description, oneOf: part.of.map(typeSchema) };
    default:
      return { description, ...typeSchema(part) };
  }
}

function object(required, properties) {
  return { type: "object", additionalProperties: false, required, properties };
}

/** A field that belongs to one value of another is missing wherever that has another value. */
function fieldsSchema(fields) {
  const required = fields.filter(({ optional, where }) => !optional && !where).map(({ name }) => name);
  const properties = fields.map(({ name, type, description }) => [
    name,
    { ...typeSchema(type), ...(description && { description }) },
  ]);
  const [only] = fields.filter(({ where }) => where);
  return {
    ...object(required, Object.fromEntries(properties)),
    ...(only && {
      if: { properties: { [only.where.field]: { const: only.where.is } } },
      // biome-ignore lint/suspicious/noThenProperty: the keyword of JSON Schema.
      then: { required: [only.name], properties: { [only.name]: true } },
      else: { properties: { [only.name]: false } },
    }),
  };
}

function typeSchema(type) {
  switch (type.is) {
    case "part":
      return { $ref: `#/$defs/${type.part}` };
    case "literal":
      return type.values.length === 1 ? { const: type.values[0] } : { enum: type.values };
    case "boolean":
      return { type: "boolean" };
    case "integer":
      return { type: "integer", minimum: type.from, maximum: MOST };
    case "text":
      return {
        type: "string",
        ...(type.least > 0 && { minLength: type.least }),
        ...(type.like && { pattern: type.like }),
        ...(type.most && { maxLength: type.most }),
      };
    case "name":
      return nameSchema(type);
    case "list":
      return {
        type: "array",
        items: typeSchema(type.of),
        ...(type.atLeast && { minItems: type.atLeast }),
        ...(type.atMost && { maxItems: type.atMost }),
      };
    case "map":
      return {
        type: "object",
        additionalProperties: false,
        patternProperties: { [POINTER]: typeSchema(type.of) },
      };
    case "anything":
      return { type: "object", additionalProperties: true };
  }
}

function nameSchema({ as, kind }) {
  if (as === "name") return { $ref: "#/$defs/Name" };
  if (as === "words") return { type: "string", minLength: 1 };
  return { description: `A place in \`${kind}s\`, from 0.`, type: "integer", minimum: 0, maximum: MOST };
}
