import type { RuleFile } from "@limbwright/shared/rule-file";
import type { Bundle } from "../../../language/outputs/fhir/resources.ts";
import {
  type Asked,
  type Json,
  measureTexts,
  plain,
  quantitiesAsked,
  textsAsked,
  walk,
} from "../rule-file/asked.ts";

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

  hasQuantity(asked: Asked): boolean {
    const { value, unit } = asked;
    const inMinutes = unit === "s" ? [`${Number(value) / 60} min`] : [];
    const isCoded = [`${value} ${unit}`, ...inMinutes].some((one) => this.#coded.has(one));
    return isCoded || measureTexts(asked).some((one) => this.hasText(one));
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
