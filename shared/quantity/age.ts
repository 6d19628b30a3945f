import type { Interval } from "./interval.ts";
import { ONE, type Rational, ratio } from "./rational.ts";

// Ages are counted as people say them: who is 64 years old is so to the day before the 65th birthday. A range of ages is
// therefore closed below and open above, in years, and begins and ends with a completed month.

type AgeUnit = "years" | "months";

const LENGTHS: Readonly<Record<AgeUnit, Rational>> = { years: ONE, months: ratio(1, 12) };

/**
 * A range of ages for a reader: "16 to 64 years", "17 years and over", "6 months to 4 years", "1 year". Undefined where it
 * does not begin and end with a completed month.
 */
export function agesText({ lower, upper }: Interval): string | undefined {
  if (lower && !(lower.closed && isWhole(lower.value, "months"))) return undefined;
  if (upper && !(!upper.closed && isWhole(upper.value, "months"))) return undefined;
  const from = lower && lower.value.compare(0) > 0 ? lower.value : undefined;
  if (upper) return from ? betweenText(from, upper.value) : `${upToText(upper.value)} and under`;
  return from && `${ageText(from, unitOf(from))} and over`;
}

/** Whether a range of ages begins and ends with birthdays. */
export function isInYears({ lower, upper }: Interval): boolean {
  return [lower, upper].every((edge) => !edge || isWhole(edge.value, "years"));
}

/** Nobody is asked for completed years of an infant. */
function upToText(before: Rational): string {
  return lastText(before, before.compare(ONE) <= 0 ? "months" : unitOf(before));
}

/** Infants' ages in months alone; else each in its own unit. */
function betweenText(from: Rational, before: Rational): string {
  const first = unitOf(from);
  const last = first === "months" && before.compare(2) < 0 ? "months" : unitOf(before);
  const end = lastText(before, last);
  if (from.equals(before.sub(LENGTHS[last]))) return end;
  return first === "years" && last === "months"
    ? `${count(from, last)} to ${end}`
    : `${first === last ? count(from, first) : ageText(from, first)} to ${end}`;
}

function lastText(before: Rational, unit: AgeUnit): string {
  return ageText(before.sub(LENGTHS[unit]), unit);
}

/** The day on which somebody comes to an age, for a reader: "the 16th birthday", "the day that 6 months are completed". */
export function dayOfAgeText(age: Rational): string {
  return isWhole(age, "years")
    ? `the ${ordinalText(age)} birthday`
    : `the day that ${ageText(age, "months")} are completed`;
}

function ordinalText(birthday: Rational): string {
  const years = birthday.toFraction();
  const ending = /(?<!1)([123])$/.exec(years)?.[1];
  return `${years}${ending === undefined ? "th" : ["st", "nd", "rd"][Number(ending) - 1]}`;
}

/** An age for a reader, in completed years, or in completed months where it is not a birthday. */
export function completedAgeText(age: Rational): string {
  return isWhole(age, "years") ? ageText(age, "years") : ageText(age.mul(12).floor().div(12), "months");
}

function ageText(age: Rational, unit: AgeUnit): string {
  const counted = count(age, unit);
  return `${counted} ${counted === "1" ? unit.slice(0, -1) : unit}`;
}

function count(age: Rational, unit: AgeUnit): string {
  return age.div(LENGTHS[unit]).toFraction();
}

function isWhole(age: Rational, unit: AgeUnit): boolean {
  return age.div(LENGTHS[unit]).d === 1n;
}

function unitOf(age: Rational): AgeUnit {
  return isWhole(age, "years") ? "years" : "months";
}
