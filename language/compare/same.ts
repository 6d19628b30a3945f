import { inBase, rational, requireUnit } from "@limbwright/shared/quantity";

/**
 * Whether two parts of a model are written alike, wherever they stand: the same numbers in the same units, the same words.
 */
export function isWrittenAlike(before: unknown, now: unknown): boolean {
  return writtenText(before) === writtenText(now);
}

/** Whether two parts mean the same: 90 s and 1.5 min do, 3 mg/kg and the 0.6 mL/kg that hold as much. */
export function meansTheSame(before: unknown, now: unknown): boolean {
  return meaningText(before) === meaningText(now);
}

/** A part of a model as one text, without the places where it stands. */
export function writtenText(part: unknown): string {
  return textOf(part, (object) => object);
}

/** The same as far as a rule file holds it: there a half is 50 %, and rows of a table stand from the lowest up. */
export function heldText(part: unknown): string {
  return textOf(part, (object) => {
    if (object.kind === "share")
      return { ...object, factor: object.factor === "half" ? HALF : object.factor };
    if (object.kind !== "bands" || !Array.isArray(object.rows)) return object;
    return { ...object, rows: object.rows.map(heldText).sort() };
  });
}

const HALF = { value: rational(50), unit: requireUnit("%") };

/** The same with every quantity in base units, and amounts by what they come to. */
export function meaningText(part: unknown): string {
  return textOf(part, (object) => {
    if (isQuantity(object)) return { base: inBase(object as never), dimension: object.unit.dimension };
    const { unit, interval, node, ...others } = object;
    if (interval !== undefined && typeof unit === "string") return { interval };
    return node !== undefined && "expression" in object
      ? others
      : { ...others, ...(unit !== undefined && { unit }) };
  });
}

/** Members of a list whose order says nothing, as one text. */
export function anyOrder(members: readonly unknown[], text: (part: unknown) => string): string {
  return members.map(text).sort().join("\n");
}

type Fields = Readonly<Record<string, unknown>>;

function textOf(part: unknown, shown: (object: Fields) => Fields): string {
  return (
    JSON.stringify(part, (_key, value: unknown) => {
      if (typeof value === "bigint") return `${value}`;
      if (typeof value !== "object" || value === null || Array.isArray(value)) return value;
      if ("d" in value && "n" in value && "s" in value) return `${value.s}*${value.n}/${value.d}`;
      // A place alone says that something is written, as that a drug is plain.
      if ("file" in value && "start" in value && "end" in value) return true;
      const entries = Object.entries(shown(value as Fields)).filter(([name]) => !PLACES.has(name));
      return Object.fromEntries(entries.sort(([a], [b]) => (a < b ? -1 : 1)));
    }) ?? ""
  );
}

const PLACES: ReadonlySet<string> = new Set([
  "origin",
  "nameOrigin",
  "agentOrigin",
  "ruleOrigin",
  "protocolOrigin",
]);

interface Quantified extends Fields {
  readonly unit: { readonly dimension: unknown };
}

function isQuantity(object: Fields): object is Quantified {
  const { value, unit } = object;
  return typeof value === "object" && value !== null && typeof unit === "object" && unit !== null;
}
