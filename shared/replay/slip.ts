import type { LinePlace } from "../finding/index.ts";
import { type BrokenRule, ruleKey } from "../runtime/broken.ts";
import type { Consequence, Deviation, DeviationKind } from "./deviation.ts";
import type { Named } from "./known-events.ts";
import { orderWords, wordsForLeftOut } from "./words.ts";

/** What is known of a deviation at once. */
export interface SlipFacts {
  readonly kind: DeviationKind;
  readonly what: string;
  readonly at: number;
  readonly line: number;
  /** In seconds. */
  readonly by?: number;
  readonly rules: readonly BrokenRule[];
  /** The edge whose line in the protocol is shown; -1 for none. */
  readonly edge: number;
  readonly words: string;
  /** The steps that were left out, and what came in their place. */
  readonly missed?: { readonly steps: readonly Named[]; readonly before: string };
  /** Whether the event is one that the protocol knows: what seems to be amiss with it may be that another row is lost. */
  readonly isKnown?: boolean;
}

/** A deviation while its case goes on. */
export class Slip {
  readonly #facts: SlipFacts;
  readonly #ledTo: Consequence[] = [];
  readonly #doneLater: Named[] = [];

  constructor(facts: SlipFacts) {
    this.#facts = facts;
  }

  /** A rule that was broken later, and would not have been without this; each is told once. */
  noteLaterRule({ rule, about }: BrokenRule, at: number, line: number): void {
    const broken = { rule, ...(about !== undefined && { about }) };
    const isKnown = [...this.#facts.rules, ...this.#ledTo].some((one) => ruleKey(one) === ruleKey(broken));
    if (!isKnown) this.#ledTo.push({ ...broken, at, line });
  }

  /** Takes note that a step that was left out is done after all; false where it is none of them. */
  isDoneLater(told: Named): boolean {
    const { steps = [] } = this.#facts.missed ?? {};
    const isMissing = has(steps, told) && !has(this.#doneLater, told);
    if (isMissing) this.#doneLater.push(told);
    return isMissing;
  }

  /** Whether a row that is lost could make this look like a deviation: what is there would have its place, or its time, with it. */
  mayBeMissing({ kind }: Deviation): boolean {
    if (kind === "left-out" || kind === "wrong-order" || kind === "too-late") return true;
    return (kind === "not-in-protocol" || kind === "unplanned-release") && this.#facts.isKnown === true;
  }

  /** Steps that were left out and then done were in the wrong order; those that were never done stay left out. */
  deviations(placeOf: (edge: number) => LinePlace | undefined): Deviation[] {
    const { missed, edge, by, isKnown: _, ...facts } = this.#facts;
    const place = placeOf(edge);
    const whole = {
      ...facts,
      ledTo: this.#ledTo,
      ...(by !== undefined && { by: { value: String(Math.round(by * 1000) / 1000), unit: "s" as const } }),
      ...(missed && { steps: missed.steps.map(saysOf) }),
      ...(place && { place }),
    };
    if (!missed || this.#doneLater.length === 0) return [whole];
    const { before, steps } = missed;
    const later = this.#doneLater.map(saysOf);
    const never = steps.filter((step) => !has(this.#doneLater, step)).map(saysOf);
    const words = orderWords(before, later, facts.at);
    const order: Deviation = { ...whole, kind: "wrong-order", what: before, steps: later, words };
    if (never.length === 0) return [order];
    const leftOut = { what: never.join(", "), steps: never, words: wordsForLeftOut(never, before, facts.at) };
    return [order, { ...whole, ...leftOut, rules: [], ledTo: [] }];
  }
}

function saysOf({ says }: Named): string {
  return says;
}

function has(list: readonly Named[], { key }: Named): boolean {
  return list.some((one) => one.key === key);
}
