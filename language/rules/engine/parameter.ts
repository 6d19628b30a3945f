import type { Origin } from "@limbwright/shared/finding";
import type { Dimension, Rational } from "@limbwright/shared/quantity";
import { type SourceId, sourceOf } from "../sources/sources.ts";

/**
 * A value that a rule judges by, and that a hospital may set in its local rules.
 *
 * `standard` is the value without local rules, in `unit` ("" for a bare number). A value in the direction
 * of `tighter` is taken without more; a looser one needs a reason and a role, and never passes `bound`.
 * Without `tighter` either side departs from the standard and needs a reason and a role. No value goes below `lowest` or
 * above `highest`, whatever the reason. A choice of words has `choices` and no unit; its standard is one of them, and the
 * one that asks least. `source` is where the standard is published, where that is one text.
 */
export interface Parameter {
  readonly name: string;
  readonly title: string;
  readonly unit: string;
  readonly standard: string;
  readonly tighter?: "higher" | "lower";
  readonly bound?: string;
  readonly lowest?: string;
  readonly highest?: string;
  readonly choices?: readonly string[];
  readonly source?: SourceId;
}

/** Where a standard comes from, for a reader; undefined where it rests on more than one text. */
export function standardSource({ source }: Parameter): string | undefined {
  if (source === undefined) return undefined;
  const { title, seen } = sourceOf(source);
  return source === "common-practice" ? seen : title;
}

/** "at least 12 years, at most 18 years"; empty for a choice of words. */
export function boundsText({ unit, tighter, bound, lowest, highest }: Parameter): string {
  const least = tighter === "higher" ? (bound ?? lowest) : lowest;
  const most = tighter === "lower" ? (bound ?? highest) : highest;
  const told = (word: string, value: string | undefined) =>
    value === undefined ? [] : [`${word} ${value} ${unit}`.trim()];
  return [...told("at least", least), ...told("at most", most)].join(", ");
}

/** The value a rule judges by, in base units, with the words that say where it comes from. */
export interface ParameterValue {
  /** For a choice of words its place among them, counted from 0. */
  readonly value: Rational;
  /** The word that was chosen, where the parameter is a choice of words. */
  readonly word?: string;
  /** The unit that its standard is stated in; "" for a bare number or a word. */
  readonly unit: string;
  readonly dimension: Dimension;
  /** Where local rules set it. */
  readonly origin?: Origin;
  /** Whether local rules set it. */
  readonly isLocal: boolean;
  /** "local rules tarn-hollow", or "the standard of this rule". */
  readonly from: string;
}

/**
 * Values that belong to no single rule. Local rules set them by their bare name: `set action-time 75 s`.
 *
 * A shorter time of action leaves out runs that can happen, so nobody may go below the standard. Who counts as a child moves doses
 * and pressures in both directions: a higher age is the tighter one for doses, and ends where all that is published of children ends.
 */
export const GENERAL_PARAMETERS: readonly Parameter[] = [
  {
    name: "action-time",
    title: "The longest time an action of the team takes when the protocol does not say",
    unit: "s",
    standard: "60",
    tighter: "higher",
    bound: "60",
    source: "common-practice",
  },
  {
    name: "cuff-action-time",
    title: "The longest time of inflating, deflating or confirming a cuff when the protocol does not say",
    unit: "s",
    standard: "15",
    tighter: "higher",
    bound: "15",
    source: "common-practice",
  },
  {
    name: "cuff-test-time",
    title:
      "Under this time, from the first inflation to the last deflation before anything is injected, it is a test of the cuffs and no occlusion",
    unit: "min",
    standard: "5",
    tighter: "lower",
    bound: "10",
    source: "common-practice",
  },
  {
    name: "cuff-test-pause",
    title: "The time without a cuff that is up, after which another test of the cuffs may follow",
    unit: "min",
    standard: "2",
    tighter: "higher",
    bound: "1",
    source: "common-practice",
  },
  {
    name: "drawn-up-loss",
    title: "The most that drawing up to a mark of the syringe may take away from a dose, in per cent of it",
    unit: "",
    standard: "5",
    tighter: "lower",
    bound: "10",
    lowest: "1",
    source: "common-practice",
  },
  {
    name: "child-age",
    title: "The age under which a patient is judged as a child",
    unit: "years",
    standard: "16",
    tighter: "higher",
    bound: "12",
    highest: "18",
    source: "common-practice",
  },
];
