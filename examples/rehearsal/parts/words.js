import { decimalText, fromBase, rational, roundedText } from "@limbwright/shared/quantity";
import { wordsOfEvent, wordsOfStep } from "@limbwright/shared/runtime";

const UNITS = { a: "years", mo: "months", "mm[Hg]": "mmHg", "g/dL": "%" };

export const MEASURES = {
  weight: { words: "Body weight", unit: "kg" },
  age: { words: "Age", unit: "a" },
  systolic: { words: "Systolic blood pressure", unit: "mm[Hg]" },
  circumference: { words: "Limb circumference", unit: "cm" },
};

/** Seconds as a clock shows them: 12:30, 1:05:30. */
export function clock(seconds) {
  const two = (value) => String(value).padStart(2, "0");
  const [hours, minutes, rest] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  return hours > 0 ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
}

/** A quantity of the rule file; one that no decimal writes exactly is rounded, and says so. */
export function quantity({ value, unit }) {
  const [over, under] = value.split("/").map(Number);
  const number = under === undefined ? value : `about ${(over / under).toFixed(2)}`;
  return `${number} ${UNITS[unit] ?? unit}`;
}

/** "45 to 130 kg", "over 45 kg to under 50 kg", "60 kg and over". */
export function range({ unit, lower, upper }) {
  if (lower?.closed && upper?.closed) return `${lower.value} to ${quantity({ value: upper.value, unit })}`;
  const end = ({ value }) => quantity({ value, unit });
  const from = lower && `${lower.closed ? "" : "over "}${end(lower)}`;
  const to = upper && `${upper.closed ? "" : "under "}${end(upper)}`;
  if (from === undefined) return upper?.closed ? `up to ${to}` : (to ?? "");
  return to === undefined ? `${from} and over` : `${from} to ${to}`;
}

/** Where the document stands: what was found unsafe is said first. */
export function standingWords({ use, standing }) {
  const status = standing.status.kind.replace("-", " ");
  return use === "draft" ? `${status}, compiled as a draft with its findings` : status;
}

/** A unit for a reader. */
export function symbol(unit) {
  return UNITS[unit] ?? unit;
}

/** What a dose is for the patient of a case: "lidocaine, 36 mL (180 mg)". */
export function dose(now, name) {
  const found = now.dose(name);
  if (!found) return undefined;
  const { agent, amount, rate, total, massUnit, adjuvants } = found;
  const parts = [
    agent,
    amount && amountWords(amount, massUnit),
    rate && `at ${told(rate, massUnit)}`,
    total && `in total at most ${amountWords(total, massUnit)}`,
    ...adjuvants.map(
      (one) => `with ${one.agent}${one.amount ? ` ${amountWords(one.amount, one.massUnit)}` : ""}`,
    ),
  ];
  return parts.filter(Boolean).join(", ");
}

function amountWords({ mass, volume }, massUnit) {
  if (!mass || !volume) return told(mass ?? volume, massUnit);
  return `${told(volume, massUnit)} (${told(mass, massUnit)})`;
}

/** A mass, also one by the hour, in the unit that the protocol writes it in: 75 mcg, not 0.075 mg. */
function told({ value, unit }, massUnit) {
  const base = fromBase(rational(value), unit.startsWith("mg") ? massUnit : "mL");
  const number = decimalText(base.value, MOST_PLACES);
  const amount = number.rounded ? `about ${roundedText(base)}` : `${number.text} ${base.unit.symbol}`;
  return unit.endsWith("/h") ? `${amount}/h` : amount;
}

/** More decimals than any amount of a drug is written with. */
const MOST_PLACES = 6;

/** What can be said, as a line of the running order. */
export function said(event, now) {
  switch (event.kind) {
    case "start": {
      const { step } = event;
      const amount = step.dose === undefined ? undefined : dose(now, step.dose);
      return amount === undefined ? wordsOfStep(step) : `${wordsOfStep(step)}: ${amount}`;
    }
    case "end":
      return `${wordsOfStep(event.step)}: done`;
    case "event":
      return wordsOfEvent(event).replaceAll("-", " ");
    case "answer":
      return wordsOfEvent(event);
    case "leak":
      return `the ${event.cuff} cuff loses its pressure`;
  }
}
