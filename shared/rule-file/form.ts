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
