import type { Rational } from "../quantity/index.ts";
import type { Written } from "./case-rows.ts";

/** A dose as one row tells it, in one of its two units. */
export interface ToldDose extends Written {
  readonly name: string;
  readonly value: Rational;
  readonly unit: "mg" | "mL";
}

/** A row that tells a dose otherwise than one before. */
export interface Contradiction {
  readonly first: ToldDose;
  readonly other: ToldDose;
}

export interface ToldTwice {
  /** How often a dose was begun, by its name: each time may have an amount of its own. */
  readonly begun: ReadonlyMap<string, number>;
  /** How many mg are in a mL of a dose; undefined where that cannot be told. */
  readonly strengthOf: (name: string) => Rational | undefined;
  /** In mL: a dose that is told as a mass and as a volume is the same up to one mark of its syringe. */
  readonly markOf: (name: string) => Rational;
}

/** The doses of which one amount is told in several ways that cannot all be so: one of each. */
export function dosesToldTwice(told: readonly ToldDose[], how: ToldTwice): Contradiction[] {
  return [...new Set(told.map(({ name }) => name))].flatMap((name) => {
    const own = told.filter((one) => one.name === name);
    const different = own.filter((one, at) => !own.slice(0, at).some((before) => isSame(before, one, how)));
    const [first, other] = different;
    const mayHave = Math.max(1, how.begun.get(name) ?? 0);
    return first && other && different.length > mayHave ? [{ first, other }] : [];
  });
}

function isSame(a: ToldDose, b: ToldDose, { strengthOf, markOf }: ToldTwice): boolean {
  if (a.unit === b.unit) return a.value.equals(b.value);
  const strength = strengthOf(a.name);
  if (!strength) return true;
  const [mass, volume] = a.unit === "mg" ? [a, b] : [b, a];
  return mass.value.div(strength).sub(volume.value).abs().compare(markOf(a.name)) < 0;
}
