import { durationText, quantityText, rational, unitWithCode } from "@limbwright/shared/quantity";

/** What a rule file says of its protocol, and an output that loses nothing has to say as well. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** Members whose value is a text or a name of the author's. */
const TEXTS = new Set([
  ...["name", "title", "version", "hospital", "owner", "indications", "text", "because", "label", "atc"],
  ...["diluent", "contraindicated", "group", "sources", "condition", "notes", "roles", "question", "routine"],
  ...["event", "timer", "dose", "agent", "emergency", "stage", "texts", "agents"],
]);

/** A known condition with words of its own is told by these. */
export function textsAsked(path: readonly string[], value: Json): string[] {
  if (typeof value !== "string" || path.includes("rows") || path.includes("kind")) return [];
  const key = path.findLast((part) => !/^\d+$/.test(part)) ?? "";
  const isNamedCondition = key === "condition" && path.includes("patients");
  return TEXTS.has(key) && !isNamedCondition && value !== "" ? [value] : [];
}

export interface Asked {
  readonly value: string;
  readonly unit: string;
}

export function quantitiesAsked(path: readonly string[], value: Json): Asked[] {
  if (typeof value !== "object" || value === null || !("unit" in value)) return [];
  if (path.includes("rows") && !path.includes("formula") && !path.includes("occlusion")) return [];
  const unit = String(value.unit);
  const ends = "value" in value ? [value] : [value.lower, unit === "a" ? asSaid(value.upper) : value.upper];
  return ends.flatMap((end) => {
    const written = typeof end === "object" && end !== null && "value" in end ? String(end.value) : "";
    // Nothing is the natural beginning of a time.
    return written === "" || (written === "0" && unit === "s") ? [] : [{ value: written, unit }];
  });
}

/** FHIR has the last age that belongs to a range, the rule file the birthday that does not. */
function asSaid(upper: Json | undefined): Json | undefined {
  if (typeof upper !== "object" || upper === null || !("value" in upper) || upper.closed) return upper;
  return { ...upper, value: String(Number(upper.value) - 1) };
}

/** Letters of either case, and hyphens of names, are the same; so is Markdown that shows a text letter for letter. */
export function plain(text: string): string {
  return text
    .replace(/\\([\\`*_{}[\]()#+\-.!|~>:/@])/g, "$1")
    .replaceAll("-", " ")
    .toLowerCase();
}

export function walk(
  value: Json,
  path: readonly string[],
  visit: (path: readonly string[], value: Json) => void,
): void {
  visit(path, value);
  if (typeof value !== "object" || value === null) return;
  for (const [key, inner] of Object.entries(value)) walk(inner as Json, [...path, key], visit);
}

/** What a reader would take for a quantity: in its unit, or as a time. */
export function measureTexts({ value, unit: code }: Asked): string[] {
  const unit = unitWithCode(code);
  if (!unit) return [];
  const exact = rational(value);
  const inUnit = quantityText({ value: exact, unit });
  return [inUnit, ...(code === "s" ? [durationText(exact)] : []), `${inUnit.split(" ")[0]} to `];
}
