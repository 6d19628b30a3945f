import { compareOrigins, type Origin } from "@limbwright/shared/finding";
import {
  type FormField,
  type FormPart,
  type FormType,
  formOf,
  type Parts,
  partOf,
  pointer,
} from "@limbwright/shared/rule-file";
import type { Agent, Amount, Cuff, Written } from "../model/index.ts";
import type { Box } from "../population/index.ts";
import type { ModelOf, Models } from "./generated/models.ts";
import type { Marks, Places } from "./marks.ts";
import { compareTexts, fileQuantity, fileRange, inFixedOrder, quantityFrom, rangeFrom } from "./values.ts";

/** What the parts of a protocol need to know of it as they are written. */
export interface Writing {
  readonly marks: Marks;
  readonly cuffs: readonly Cuff[];
  readonly box: Box;
  readonly pairs: AnyPairs;
}

/** As much as is known of parts in which nothing of the protocol stands. */
export function writingWith(marks: Marks): Writing {
  return { marks, cuffs: [], box: {}, pairs: {} };
}

/** What they need to know as they are restored. */
export interface Restoring {
  readonly places: Places;
  readonly agents: ReadonlyMap<string, Agent>;
  /** The table of occlusion pressures, for a cuff's pressure. */
  readonly occlusion?: Amount;
  readonly pairs: AnyPairs;
}

/** A part that the model holds in another form than field for field, as it is written or as it is restored. */
export interface Pair<P extends keyof Models> {
  write?(writing: Writing, model: ModelOf<P>): Parts[P];
  restore?(restoring: Restoring, file: Parts[P], path: string): ModelOf<P>;
}

export type Pairs = { readonly [P in keyof Models]?: Pair<P> };

/** The same for a walk that goes by the form: it takes whatever stands there, and the types hold at both ends. */
interface AnyPair {
  write?(writing: Writing, model: unknown): unknown;
  restore?(restoring: Restoring, file: unknown, path: string): unknown;
}

type AnyPairs = Readonly<Partial<Record<keyof Parts, AnyPair>>>;

type Fields = Readonly<Record<string, unknown>>;
type FieldsPart = Extract<FormPart, { is: "fields" }>;
type ListType = Extract<FormType, { is: "list" }>;

/** A part of the model as a rule file has it. */
export function writePart<P extends keyof Models>(writing: Writing, part: P, model: ModelOf<P>): Parts[P] {
  return writeByForm(writing, part, model) as never;
}

/** The same with its fields alone, where the model's form of it was made into this one. */
export function writeFields<P extends keyof Models>(writing: Writing, part: P, model: Models[P]): Parts[P] {
  return writeEachField(fieldsOf(part), writing, model as unknown as Fields) as never;
}

/** What the model holds for a part of a rule file, which stands at `path` in it. */
export function restorePart<P extends keyof Models>(
  restoring: Restoring,
  part: P,
  file: Parts[P],
  path: string,
): ModelOf<P> {
  return restoreByForm(restoring, part, file, path) as never;
}

/** The same with its fields alone, of which the model's form is still to be made. */
export function restoreFields<P extends keyof Models>(
  restoring: Restoring,
  part: P,
  file: Parts[P],
  path: string,
): Models[P] {
  return restoreEachField(restoring, fieldsOf(part), file as unknown as Fields, path) as never;
}

function fieldsOf(part: keyof Parts): FieldsPart {
  const found = formOf(part);
  if (found.is !== "fields") throw new Error(`${part} has no fields`);
  return found;
}

function writeByForm(writing: Writing, name: keyof Parts, model: unknown): unknown {
  const pair = writing.pairs[name];
  if (pair?.write) return pair.write(writing, model);
  const part = formOf(name);
  switch (part.is) {
    case "fields":
      return writeEachField(part, writing, model as Fields);
    case "choice":
      return writeByForm(writing, partOf(part.of, model as Fields), model);
    case "quantity":
      return fileQuantity(model as never);
    case "range":
      return fileRange(model as never);
  }
}

function writeEachField({ fields }: FieldsPart, writing: Writing, model: Fields): Fields {
  const file: Record<string, unknown> = {};
  const places: Record<string, Origin | undefined> = {};
  for (const [key, field] of Object.entries(fields)) {
    const value = model[key];
    if (field.placed) places[key] = placeOf(field.type, value, model[`${key}Origin`]);
    if (isSaid(field)) file[key] = value !== undefined;
    else if (value !== undefined && !isLeftOut(field.type, value))
      file[key] = writeType(writing, field, value);
    else if (!field.optional) file[key] = "";
  }
  return writing.marks.at(file, undefined, places);
}

/** Whether the model has the place where a word was written, and a file says that it was. */
function isSaid({ type, placed }: FormField): boolean {
  return type.is === "boolean" && placed === true;
}

function isLeftOut(type: FormType, value: unknown): boolean {
  return type.is === "list" && type.some === true && (value as readonly unknown[]).length === 0;
}

/** Where a member without a place of its own is written. */
function placeOf({ is }: FormType, value: unknown, beside: unknown): Origin | undefined {
  if (is === "name") return beside as Origin | undefined;
  if (is === "boolean") return value as Origin | undefined;
  return is === "value" ? (value as Written<unknown> | undefined)?.origin : undefined;
}

function writeType(writing: Writing, { type, placed }: FormField, value: unknown): unknown {
  switch (type.is) {
    case "part": {
      const part = writeByForm(writing, type.part, value) as object;
      return placed ? writing.marks.at(part, (value as Written<unknown>).origin) : part;
    }
    case "list":
      return writeList(writing, type, value as readonly unknown[]);
    case "name":
      return type.kind === "agent" && !type.own ? (value as Agent).name : value;
    case "value":
    case "boolean":
    case "map":
      return placed ? (value as Written<unknown>).value : value;
  }
}

function writeList(writing: Writing, { of, order, placed }: ListType, list: readonly unknown[]) {
  const items = list.map((item) => writeType(writing, { type: of, placed }, item));
  if (of.is === "value" && placed) return writeTexts(writing, list as readonly Written<string>[]);
  if (order === undefined || order === "number") return items;
  if (order === "in any order") return inFixedOrder(items);
  return (items as Record<string, string>[]).sort((a, b) => compareTexts(a[order] ?? "", b[order] ?? ""));
}

/** Texts in a fixed order, each with its place. */
function writeTexts({ marks }: Writing, texts: readonly Written<string>[]): string[] {
  const sorted = [...texts].sort((a, b) => compareTexts(a.value, b.value));
  return marks.at(
    sorted.map(({ value }) => value),
    undefined,
    Object.fromEntries(sorted.map(({ origin }, index) => [index, origin])),
  );
}

function restoreByForm(restoring: Restoring, name: keyof Parts, file: unknown, path: string): unknown {
  const pair = restoring.pairs[name];
  if (pair?.restore) return pair.restore(restoring, file, path);
  const part = formOf(name);
  switch (part.is) {
    case "fields":
      return restoreEachField(restoring, part, file as Fields, path);
    case "choice":
      return restoreByForm(restoring, partOf(part.of, file as Fields), file, path);
    case "quantity":
      return quantityFrom(file as never, restoring.places.at(path));
    case "range":
      return rangeFrom(file as never, restoring.places.at(path));
  }
}

function restoreEachField(restoring: Restoring, part: FieldsPart, file: Fields, path: string): Fields {
  const { places } = restoring;
  const model: Record<string, unknown> = part.placed ? { origin: places.at(path) } : {};
  for (const [key, field] of Object.entries(part.fields)) {
    const { type, placed } = field;
    const value = file[key] ?? (type.is === "list" && type.some ? [] : undefined);
    if (value === undefined) continue;
    const found = restoreType(restoring, field, value, pointer(path, key));
    if (found !== undefined) model[key] = found;
    if (placed && type.is === "name") model[`${key}Origin`] = places.at(pointer(path, key));
  }
  return model;
}

function restoreType(
  restoring: Restoring,
  { type, placed }: FormField,
  value: unknown,
  path: string,
): unknown {
  switch (type.is) {
    case "part":
      return restoreByForm(restoring, type.part, value, path);
    case "list":
      return restoreList(restoring, type, value as readonly unknown[], path);
    case "name":
      return type.kind === "agent" && !type.own ? restoring.agents.get(value as string) : value;
    case "boolean":
      return placed ? (value ? restoring.places.at(path) : undefined) : value;
    case "value":
    case "map":
      return placed ? { value, origin: restoring.places.at(path) } : value;
  }
}

/** What the author may write in any order stands in the model as it was written. */
function restoreList(
  restoring: Restoring,
  { of, order, placed }: ListType,
  list: readonly unknown[],
  path: string,
): unknown[] {
  const items = list.map((item, at) => restoreType(restoring, { type: of, placed }, item, pointer(path, at)));
  return order === undefined
    ? items.filter((item) => item !== undefined)
    : (items as Written<unknown>[]).sort((a, b) => compareOrigins(a.origin, b.origin));
}
