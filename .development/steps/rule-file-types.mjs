// The types of the rule file, and what a program that reads and writes it has to know of each part.

import { fieldsOf, takenParts } from "./rule-file-page.mjs";

/** The types of a file, one for each part. */
export function typesOf(parts) {
  const taken = takenParts(parts);
  const own = [...parts].filter(([name]) => !taken.has(name));
  const types = own.map(
    ([name, part]) => `${comment("", part.description)}export ${declared(parts, name, part)}`,
  );
  const all = own.map(([name]) => `  readonly ${name}: ${name};\n`);
  return `${types.join("\n")}\n/** Every part by its name. */\nexport interface Parts {\n${all.join("")}}\n`;
}

function declared(parts, name, part) {
  switch (part.is) {
    case "fields":
      return `interface ${name} {\n${fieldsOf(parts, part).map(fileField).join("")}}\n`;
    case "quantity":
      return `interface ${name} {\n  readonly value: ExactNumber;\n  readonly unit: ${union(part.units)};\n}\n`;
    case "range":
      return `interface ${name} {\n  readonly unit: ${union(part.units)};\n  readonly lower?: Edge;\n  readonly upper?: Edge;\n}\n`;
    case "choice":
      return `type ${name} = ${part.of.map(fileType).join(" | ")};\n`;
    default:
      return `type ${name} = ${fileType(part)};\n`;
  }
}

function fileField({ name, optional, where, type, description }) {
  return `${comment("  ", description)}  readonly ${name}${optional || where ? "?" : ""}: ${fileType(type)};\n`;
}

function fileType(type) {
  switch (type.is) {
    case "part":
      return type.part;
    case "list":
      return `readonly ${bracketed(fileType(type.of))}[]`;
    case "map":
      return `Readonly<Record<string, ${fileType(type.of)}>>`;
    case "anything":
      return "Readonly<Record<string, unknown>>";
    default:
      return scalar(type);
  }
}

function scalar(type) {
  if (type.is === "literal") return union(type.values);
  if (type.is === "boolean") return "boolean";
  return type.is === "integer" || type.as === "number" ? "number" : "string";
}

/** What the codec has to know of each part at run time. */
export function formOf(parts) {
  const placed = placedParts(parts);
  return Object.fromEntries(
    reachable(parts, "RuleFile").map((name) => [
      name,
      {
        ...formPart(parts, parts.get(name)),
        ...(placed.has(name) && { placed: true }),
        names: kindsIn(parts, name),
      },
    ]),
  );
}

function formPart(parts, part) {
  switch (part.is) {
    case "fields": {
      const fields = fieldsOf(parts, part).map(({ name, optional, where, placed, type }) => [
        name,
        {
          type: formType(parts, type),
          ...((optional || where) && { optional: true }),
          ...(placed && { placed }),
        },
      ]);
      return { is: "fields", fields: Object.fromEntries(fields) };
    }
    case "choice":
      return { is: "choice", of: part.of.map((type) => formType(parts, type)) };
    default:
      return { is: part.is };
  }
}

function formType(parts, type) {
  switch (type.is) {
    case "part":
      return isText(parts, type) ? { is: "value" } : { is: "part", part: type.part };
    case "list": {
      const { order, some, placed, of } = type;
      return { is: "list", of: formType(parts, of), order, ...(some && { some }), ...(placed && { placed }) };
    }
    case "map":
      return { is: "map", of: formType(parts, type.of) };
    case "name":
      return { is: "name", kind: type.kind, by: type.by, ...(type.own && { own: true }) };
    case "literal":
      return { is: "value", values: type.values };
    case "boolean":
      return { is: "boolean" };
    default:
      return { is: "value" };
  }
}

/** What the names in a part, and in all that it holds, are the names of. */
function kindsIn(parts, name) {
  const kinds = reachable(parts, name).flatMap((inner) => {
    const part = parts.get(inner);
    const fields = part.is === "fields" ? fieldsOf(parts, part) : [];
    const types = part.is === "choice" ? part.of : fields.map(({ type }) => type.of ?? type);
    return types.flatMap(
      ({ kind, by }) => kind ?? fields.find((field) => field.name === by)?.type.values ?? [],
    );
  });
  return [...new Set(kinds)].sort();
}

/** The parts that some field or list has placed, with those that they are a choice of. */
function placedParts(parts) {
  const placed = new Set();
  const add = (name) => {
    placed.add(name);
    for (const { part } of parts.get(name).of ?? []) if (part) add(part);
  };
  for (const part of parts.values()) {
    if (part.is !== "fields") continue;
    for (const field of fieldsOf(parts, part)) {
      const type = field.type.is === "list" ? field.type.of : field.type;
      const isPlaced = field.type.is === "list" ? field.type.placed : field.placed;
      if (isPlaced && type.is === "part" && !isText(parts, type)) add(type.part);
    }
  }
  return placed;
}

function isText(parts, { is, part }) {
  return is === "part" && parts.get(part).is === "text";
}

/** A part and all those that it holds. */
function reachable(parts, first, known = new Set()) {
  if (known.has(first) || isText(parts, { is: "part", part: first })) return [...known];
  known.add(first);
  const part = parts.get(first);
  const types =
    part.is === "choice"
      ? part.of
      : part.is === "fields"
        ? fieldsOf(parts, part).map(({ type }) => type)
        : [];
  for (const type of types) {
    const inner = type.of ?? type;
    if (inner.is === "part") reachable(parts, inner.part, known);
  }
  return [...known];
}

/** The parts that are written field for field of what the language holds. */
const MODELLED = ["Protocol", "Standing", "Envelope", "Finding", "Answer"];

/** What the model holds for each part of a protocol, field for field. A part that has another form there stands in `OtherForms`. */
export function modelTypesOf(parts) {
  const placed = placedParts(parts);
  const names = [...new Set(MODELLED.flatMap((name) => reachable(parts, name)))];
  const models = names.map(
    (name) => `  readonly ${name}: ${modelOfPart(parts, parts.get(name), placed.has(name))};\n`,
  );
  return `import type { Origin } from "@limbwright/shared/finding";
import type { Agent, Written, WrittenQuantity, WrittenRange } from "../../model/index.ts";
import type { OtherForms } from "../other-forms.ts";

/** The model's form of a part of the rule file. */
export type ModelOf<Part extends keyof Models> = Part extends keyof OtherForms ? OtherForms[Part] : Models[Part];

/** What the model holds for each part, field for field, where it has no form of its own. */
export interface Models {
${models.join("")}}
`;
}

function modelOfPart(parts, part, isPlaced) {
  switch (part.is) {
    case "fields": {
      const fields = fieldsOf(parts, part).map((field) => modelField(parts, field));
      return `{\n${isPlaced ? "    readonly origin: Origin;\n" : ""}${fields.join("")}  }`;
    }
    case "choice":
      return part.of.map((type) => modelType(parts, type)).join(" | ");
    default:
      return part.is === "quantity" ? "WrittenQuantity" : "WrittenRange";
  }
}

function modelField(parts, { name, optional, placed, type }) {
  if (type.is === "boolean" && placed) return `    readonly ${name}?: Origin;\n`;
  const place = placed && type.is === "name" ? `    readonly ${name}Origin: Origin;\n` : "";
  const isOptional = (optional && !type.some) || (type.kind === "agent" && !type.own);
  const model = modelType(parts, type);
  const held = placed && isWritten(parts, type) ? `Written<${model}>` : model;
  return `    readonly ${name}${isOptional ? "?" : ""}: ${held};\n${place}`;
}

function modelType(parts, type) {
  if (type.is === "list") {
    const of = modelType(parts, type.of);
    return `readonly ${bracketed(type.placed && isWritten(parts, type.of) ? `Written<${of}>` : of)}[]`;
  }
  if (type.kind === "agent" && !type.own) return "Agent";
  return type.is === "part" && !isText(parts, type) ? `ModelOf<"${type.part}">` : scalar(type);
}

/** Whether the model holds a placed value of this type as a `Written` one: a part has its place itself, and a name beside it. */
function isWritten(parts, type) {
  return isText(parts, type) || type.is === "text" || type.is === "literal";
}

function union(values) {
  return values.map((value) => JSON.stringify(value)).join(" | ");
}

function bracketed(type) {
  return type.includes(" | ") ? `(${type})` : type;
}

function comment(indent, text) {
  return text ? `${indent}/** ${text} */\n` : "";
}
