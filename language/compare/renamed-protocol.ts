import { type FormType, formOf, type Parts, partOf } from "@limbwright/shared/rule-file";
import type { CuffChoice, Protocol } from "../model/index.ts";
import { NAMED, type Renaming } from "./names.ts";

/** The protocol with its own names as they are called now. Places stay those of the earlier text. */
export function renamedProtocol(protocol: Protocol, renaming: Renaming): Protocol {
  if (Object.values(renaming).every((names) => names.size === 0)) return protocol;
  return renamedPart("Protocol", protocol, renaming) as Protocol;
}

type Fields = Readonly<Record<string, unknown>>;

/** A part of the model, whose fields are called as those of a rule file that hold names. */
function renamedPart(name: keyof Parts, model: unknown, renaming: Renaming): unknown {
  const part = formOf(name);
  if (!NAMED.some((kind) => part.names.includes(kind))) return model;
  if (name === "CuffReference") return renamedTo(renaming, "cuff", model);
  if (name === "CuffChoice") {
    const choice = model as CuffChoice;
    return choice.kind === "all" ? choice : { ...choice, name: renamedTo(renaming, "cuff", choice.name) };
  }
  const fields = model as Fields;
  if (part.is === "choice") return renamedPart(partOf(part.of, fields), model, renaming);
  if (part.is !== "fields") return model;
  const renamed = Object.entries(part.fields).flatMap(([key, { type }]) =>
    fields[key] === undefined ? [] : [[key, renamedType(type, fields[key], fields, renaming)]],
  );
  return { ...fields, ...Object.fromEntries(renamed) };
}

function renamedType(type: FormType, value: unknown, fields: Fields, renaming: Renaming): unknown {
  switch (type.is) {
    case "part":
      return renamedPart(type.part, value, renaming);
    case "list":
      return Array.isArray(value) ? value.map((one) => renamedType(type.of, one, fields, renaming)) : value;
    case "name":
      return renamedTo(renaming, type.kind ?? String(fields[type.by ?? ""]), value);
    case "value":
    case "boolean":
    case "map":
      return value;
  }
}

function renamedTo(renaming: Renaming, kind: string, name: unknown): unknown {
  const named = NAMED.find((one) => one === kind);
  return named && typeof name === "string" ? (renaming[named].get(name) ?? name) : name;
}
