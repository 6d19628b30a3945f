import { FORM } from "./generated/form.ts";
import type { Parts } from "./generated/rule-file.ts";

/** What the parts of a rule file hold, by the page that describes it. */
export type Form = Readonly<Partial<Record<keyof Parts, FormPart>>>;

/** A part. */
export type FormPart = {
  /** Whether the model knows the place of each. */
  readonly placed?: boolean;
  /** What the names in it, and in all that it holds, are the names of. */
  readonly names: readonly string[];
} & (
  | { readonly is: "fields"; readonly fields: Readonly<Record<string, FormField>> }
  | { readonly is: "choice"; readonly of: readonly FormType[] }
  | { readonly is: "quantity" | "range" }
);

export interface FormField {
  readonly type: FormType;
  readonly optional?: boolean | undefined;
  /** Whether its place in the text stands in the source map. */
  readonly placed?: boolean | undefined;
}

export type FormType =
  | { readonly is: "value"; readonly values?: readonly unknown[] }
  | { readonly is: "boolean" }
  | {
      readonly is: "name";
      /** What it is the name of; where another field of the part says it, that field. */
      readonly kind?: string;
      readonly by?: string;
      /** Whether it gives the name, and does not only refer to what has it. */
      readonly own?: boolean;
    }
  | { readonly is: "part"; readonly part: keyof Parts }
  | {
      readonly is: "list";
      readonly of: FormType;
      /** Left out where it stands as it was written; else the field by which it is sorted, "number" or "in any order". */
      readonly order?: string;
      /** Whether it is left out when it is empty. */
      readonly some?: boolean;
      readonly placed?: boolean;
    }
  | { readonly is: "map"; readonly of: FormType };

let read: Form | undefined;

/** What a part of a rule file holds; read when it is first asked for, so that whoever asks for none waits for none. */
export function formOf(part: keyof Parts): FormPart {
  read ??= JSON.parse(FORM) as Form;
  const found = read[part];
  if (!found) throw new Error(`${part} is no part of a rule file`);
  return found;
}

/** Which of the parts that are possible at a place an object is: the one of which it has all that every such part has. */
export function partOf(choices: readonly FormType[], value: Readonly<Record<string, unknown>>): keyof Parts {
  const found = choices.find((type) => type.is === "part" && isPart(type.part, value));
  if (found?.is !== "part") throw new Error("this has none of the forms that are possible here");
  return found.part;
}

function isPart(name: keyof Parts, value: Readonly<Record<string, unknown>>): boolean {
  const part = formOf(name);
  if (part?.is !== "fields") return false;
  return Object.entries(part.fields).every(([key, { type, optional }]) => {
    if (optional) return true;
    return type.is === "value" && type.values ? type.values.includes(value[key]) : value[key] !== undefined;
  });
}
