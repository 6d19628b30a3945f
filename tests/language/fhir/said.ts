import { durationText, quantityText, rational, unitWithCode } from "@limbwright/shared/quantity";
import type { RuleFile } from "@limbwright/shared/rule-file";
import type { Bundle } from "../../../language/outputs/fhir/resources.ts";

type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/**
 * What a rule file says of its protocol and a Bundle neither codes nor has in its words, each with where it stands. The list of
 * what is not coded does not count as saying it. Tables to look up are not asked for: the Bundle has the formulas. It knows nothing of how a Bundle is made.
 */
export function missingFrom({ entry }: Bundle, { protocol }: RuleFile): string[] {
  const definitions = entry.filter(({ resource }) => resource.resourceType !== "OperationOutcome");
  const bundle = definitions as unknown as Json;
  const said = new Said(bundle);
  const missing: string[] = [];
  walk(protocol as unknown as Json, [], (path, value) => {
    const found = textsAsked(path, value).filter((text) => !said.hasText(text));
    const quantities = quantitiesAsked(path, value).filter((one) => !said.hasQuantity(one));
    missing.push(...found.map((text) => `${path.join("/")}: ${text}`));
    missing.push(...quantities.map(({ value: of, unit }) => `${path.join("/")}: ${of} ${unit}`));
  });
  return [...missing, ...countsThatDiffer(bundle, protocol as unknown as Json)];
}

/** Members whose value is a text or a name of the author's. */
const TEXTS = new Set([
  ...["name", "title", "version", "hospital", "owner", "indications", "text", "because", "label", "atc"],
  ...["diluent", "contraindicated", "group", "sources", "condition", "notes", "roles", "question", "routine"],
  ...["event", "timer", "dose", "agent", "emergency", "stage", "texts", "agents"],
]);

/** A known condition with words of its own is told by these. */
function textsAsked(path: readonly string[], value: Json): string[] {
  if (typeof value !== "string" || path.includes("rows") || path.includes("kind")) return [];
  const key = path.findLast((part) => !/^\d+$/.test(part)) ?? "";
  const isNamedCondition = key === "condition" && path.includes("patients");
  return TEXTS.has(key) && !isNamedCondition && value !== "" ? [value] : [];
}

interface Asked {
  readonly value: string;
  readonly unit: string;
}

function quantitiesAsked(path: readonly string[], value: Json): Asked[] {
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

class Said {
  readonly #texts: string;
  readonly #coded = new Set<string>();

  constructor(bundle: Json) {
    const texts: string[] = [];
    walk(bundle, [], (_, value) => {
      if (typeof value === "string") texts.push(plain(value));
      if (typeof value === "object" && value !== null) this.#note(value as Readonly<Record<string, Json>>);
    });
    this.#texts = texts.join("\n");
  }

  hasText(text: string): boolean {
    return this.#texts.includes(plain(text));
  }

  hasQuantity({ value, unit: code }: Asked): boolean {
    const unit = unitWithCode(code);
    if (!unit) return false;
    const exact = rational(value);
    const words = [quantityText({ value: exact, unit }), ...(code === "s" ? [durationText(exact)] : [])];
    const inMinutes = code === "s" ? [`${Number(value) / 60} min`] : [];
    const isCoded = [`${value} ${code}`, ...inMinutes].some((one) => this.#coded.has(one));
    const ofRange = quantityText({ value: exact, unit }).split(" ")[0] ?? "";
    return isCoded || words.some((one) => this.hasText(one)) || this.hasText(`${ofRange} to `);
  }

  #note({
    value,
    code,
    duration,
    durationMax,
    durationUnit,
    period,
    periodUnit,
  }: Readonly<Record<string, Json>>) {
    for (const [number, unit] of [
      [value, code],
      [duration, durationUnit],
      [durationMax, durationUnit],
      [period, periodUnit],
    ]) {
      if (typeof number === "number") this.#coded.add(`${number} ${String(unit)}`);
    }
  }
}

/** Letters of either case, and hyphens of names, are the same; so is Markdown that shows a text letter for letter. */
function plain(text: string): string {
  return text
    .replace(/\\([\\`*_{}[\]()#+\-.!|~>:/@])/g, "$1")
    .replaceAll("-", " ")
    .toLowerCase();
}

/** Every step, handler and emergency is an action of its kind, and every contraindication and measure a condition. */
function countsThatDiffer(bundle: Json, protocol: Json): string[] {
  const asked = new Map<string, number>();
  const add = (kind: string, counts: Map<string, number>) => counts.set(kind, (counts.get(kind) ?? 0) + 1);
  walk(protocol, [], (path, value) => {
    const place = path.filter((part) => !/^\d+$/.test(part)).at(-1) ?? "";
    if (!/\d+$/.test(path.at(-1) ?? "") || typeof value !== "object" || value === null) return;
    const { kind, topic } = value as { readonly kind?: Json; readonly topic?: Json };
    if (["steps", "yes", "no", "otherwise"].includes(place)) {
      add(topic === undefined ? `${kind}` : `${kind}-${topic}`, asked);
    }
    if (["throughout", "handlers"].includes(place)) add("when", asked);
    if (place === "emergencies") add("emergency", asked);
  });
  const found = new Map<string, number>();
  walk(bundle, [], (_, value) => {
    const { system, code } = (value ?? {}) as { readonly system?: Json; readonly code?: Json };
    if (system === "urn:limbwright:step") add(String(code), found);
  });
  return [...asked].flatMap(([kind, count]) =>
    found.get(kind) === count
      ? []
      : [`${count} ${kind} in the protocol, ${found.get(kind) ?? 0} in the Bundle`],
  );
}

function walk(
  value: Json,
  path: readonly string[],
  visit: (path: readonly string[], value: Json) => void,
): void {
  visit(path, value);
  if (typeof value !== "object" || value === null) return;
  for (const [key, inner] of Object.entries(value)) walk(inner as Json, [...path, key], visit);
}
