import type { FormType } from "./form.ts";
import { form } from "./generated/form.ts";
import type { Parts } from "./generated/rule-file.ts";

/** Which of the parts that are possible at a place an object is: the one of which it has all that every such part has. */
export function partOf(choices: readonly FormType[], value: Readonly<Record<string, unknown>>): keyof Parts {
  const found = choices.find((type) => type.is === "part" && isPart(type.part, value));
  if (found?.is !== "part") throw new Error("this has none of the forms that are possible here");
  return found.part;
}

function isPart(name: keyof Parts, value: Readonly<Record<string, unknown>>): boolean {
  const part = form[name];
  if (part?.is !== "fields") return false;
  return Object.entries(part.fields).every(([key, { type, optional }]) => {
    if (optional) return true;
    return type.is === "value" && type.values ? type.values.includes(value[key]) : value[key] !== undefined;
  });
}
