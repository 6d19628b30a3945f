import { type Rational, ratio, rational } from "@limbwright/shared/quantity";
import type { Expression } from "../../population/index.ts";

/** What a scheme gives: from `low` to `high`, in mL or mL/s for every patient; equal where it gives one value. */
export interface Given {
  readonly low: Expression;
  readonly high: Expression;
  /** The scheme's own words. */
  readonly says: string;
}

/** A published scheme of 20 % lipid emulsion. Times in seconds. */
export interface Scheme {
  readonly name: string;
  readonly bolus: Given;
  /** How long the bolus takes, from the shortest to the longest. */
  readonly over: { readonly shortest: Rational; readonly longest: Rational; readonly says: string };
  /** How often the bolus is repeated and after what time; undefined where the scheme leaves it open. */
  readonly repeat?: { readonly times: number; readonly interval: Rational; readonly says: string };
  readonly rate: Given;
  /** The infusion may be doubled; where the scheme sets one of the two, repeating the bolus is the other. */
  readonly total: Given;
  /** How its parts are written in a protocol, where each is one line for every patient. */
  readonly written?: {
    readonly bolus: string;
    readonly time: string;
    readonly rate: string;
    readonly total: string;
  };
}

/** Differences up to this share of the published value are taken for rounding. Common practice, no source. */
export const TOLERANCE: Rational = ratio(1, 20);

/** The strength that both schemes are for: 20 %, in mg/mL. */
export const STRENGTH: Rational = rational(200);

function perKg(amount: Rational): Expression {
  return { kind: "scaled", factor: amount, of: { kind: "variable", variable: "weight" } };
}

function fixed(amount: Rational): Expression {
  return { kind: "constant", value: amount };
}

function same(amount: Expression, says: string): Given {
  return { low: amount, high: amount, says };
}

const BOLUS = perKg(ratio(3, 2));
/** 15 mL/kg/h, which is 0.25 mL/kg/min, in mL/kg/s. */
const RATE = perKg(ratio(15, 3600));
const TOTAL = same(perKg(rational(12)), "12 mL/kg in all");

/** The weight where the US scheme changes; its text says "under" and "over", and leaves 70 kg itself open. */
const CHANGE = rational(70);

/** One value under 70 kg, another over it; at 70 kg whatever either allows. */
function byWeight(
  under: Expression,
  over: { readonly low: Expression; readonly high: Expression },
  says: string,
): Given {
  const banded = (lighter: Expression, at: Expression, heavier: Expression): Expression => ({
    kind: "bands",
    variable: "weight",
    rows: [
      { range: { upper: { value: CHANGE, closed: false } }, value: lighter },
      {
        range: { lower: { value: CHANGE, closed: true }, upper: { value: CHANGE, closed: true } },
        value: at,
      },
      { range: { lower: { value: CHANGE, closed: false } }, value: heavier },
    ],
  });
  return {
    low: banded(under, { kind: "lesser", left: under, right: over.low }, over.low),
    high: banded(under, { kind: "greater", left: under, right: over.high }, over.high),
    says,
  };
}

/**
 * UK theatre emergency card, local anaesthetic toxicity: 20 % lipid emulsion 1.5 mL/kg over 1 min; 15 mL/kg/h;
 * the same bolus at 5 and 10 min if unstable; 30 mL/kg/h at any time after 5 min; at most 12 mL/kg.
 */
export const UK: Scheme & Required<Pick<Scheme, "written">> = {
  name: "UK",
  bolus: same(BOLUS, "1.5 mL/kg"),
  over: { shortest: rational(60), longest: rational(60), says: "1 min" },
  repeat: { times: 2, interval: rational(300), says: "2 times, after 5 and 10 min" },
  rate: same(RATE, "15 mL/kg/h"),
  total: TOTAL,
  written: { bolus: "1.5 mL/kg", time: "1 min", rate: "15 mL/kg/h", total: "12 mL/kg" },
};

/**
 * US checklist (ASRA 2020) as a reference text reports it: under 70 kg 1.5 mL/kg over 2 to 3 min, then 0.25 mL/kg/min;
 * over 70 kg 100 mL over 2 to 3 min, then about 250 mL over 15 to 20 min; repeat the bolus or double the
 * infusion; about 12 mL/kg over the first 30 min.
 */
const US: Scheme = {
  name: "US",
  bolus: byWeight(
    BOLUS,
    { low: fixed(rational(100)), high: fixed(rational(100)) },
    "1.5 mL/kg under 70 kg, 100 mL over 70 kg",
  ),
  over: { shortest: rational(120), longest: rational(180), says: "2 to 3 min" },
  rate: byWeight(
    RATE,
    { low: fixed(ratio(250, 1200)), high: fixed(ratio(250, 900)) },
    "0.25 mL/kg/min under 70 kg, about 250 mL over 15 to 20 min over 70 kg",
  ),
  total: TOTAL,
};

export const SCHEMES: readonly Scheme[] = [UK, US];
