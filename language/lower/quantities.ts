import type { Origin, Repair } from "@limbwright/shared/finding";
import {
  AGE,
  type Dimension,
  dimensionName,
  type Endpoint,
  type Interval,
  inBase,
  isEmpty,
  misspeltUnit,
  type Rational,
  rational,
  sameDimension,
  TIME,
  type Unit,
  type UnitMisspelling,
  unitOf,
} from "@limbwright/shared/quantity";
import type { Duration as DurationNode, Measured, Range } from "../grammar/generated/ast.ts";
import type { Duration, Problem, WrittenQuantity, WrittenRange } from "../model/index.ts";
import { agesOf, checkAges, inMonths } from "./ages.ts";
import { correction, type Lowering } from "./context.ts";
import { withUnits } from "./missing-units.ts";

const NUMBER_AND_UNIT = /^([\d.,]+(?:[ \u00a0\u2009\u202f]\d{3}(?!\d))*)[ \t\u00a0]*(.*)$/s;

/** A number as written, with its unit's text ("" when there is none). */
interface Parts {
  readonly number: string;
  readonly unit: string;
  readonly origin: Origin;
}

/**
 * Reads a quantity of one of the expected dimensions. What is wrong is reported; undefined then, so that
 * whatever depends on it is left undecided instead of being judged by a guess.
 */
export function quantityOf(
  lowering: Lowering,
  measured: Measured | undefined,
  expected: readonly Dimension[],
  place: string,
): WrittenQuantity | undefined {
  const parts = partsOf(lowering, measured);
  if (!parts) return undefined;
  const value = numberOf(lowering, parts, correctUnit(parts.unit));
  const unit = unitFor(lowering, parts, expected, place);
  if (value === undefined || !unit) return undefined;
  if (expected.some((dimension) => sameDimension(dimension, unit.dimension))) {
    return { value, unit, origin: parts.origin };
  }
  reportMismatch(lowering, parts.origin, unit.dimension, expected, place);
  return undefined;
}

/** The unit a quantity is written in, without judging anything: a range's first number takes it over. */
export function unitAsWritten(measured: Measured | undefined): string {
  return NUMBER_AND_UNIT.exec(measured?.text ?? "")?.[2]?.trim() ?? "";
}

/** Reads a number without a unit, in the unit that its neighbour brings. */
export function quantityInUnit(
  lowering: Lowering,
  measured: Measured,
  unit: Unit,
): WrittenQuantity | undefined {
  const parts = partsOf(lowering, measured);
  const value = parts && numberOf(lowering, parts);
  return parts && value !== undefined ? { value, unit, origin: parts.origin } : undefined;
}

/** A whole number from `least` up, without a unit: how often, or how many. */
export function countOf(
  lowering: Lowering,
  measured: Measured | undefined,
  least: number,
  place: string,
): number | undefined {
  const parts = partsOf(lowering, measured);
  const value = parts && numberOf(lowering, parts);
  if (!parts || value === undefined) return undefined;
  if (parts.unit !== "") {
    reportCountWithUnit(lowering, parts, place);
    return undefined;
  }
  if (value.d === 1n && value.compare(least) >= 0 && value.compare(10_000) <= 0) return Number(value.n);
  lowering.report({
    rule: "value-out-of-range",
    origin: parts.origin,
    what: `${place} takes a whole number from ${least} to 10000.`,
    label: "not such a number",
    next: `Write a whole number, ${least} or more.`,
  });
  return undefined;
}

function reportCountWithUnit(lowering: Lowering, parts: Parts, place: string): void {
  const { origin, number } = parts;
  lowering.report({
    rule: "unit-mismatch",
    origin,
    what: `${place} takes a number alone, but \`${parts.unit}\` stands after it.`,
    label: "a number alone is expected",
    ...correction(origin, number, "needs-a-look"),
  });
}

/**
 * Reads "90 s", "90 s to 3 min", "5 min or more". Times are whole seconds. One that is not understood leaves a
 * gap: how long something lasts is then not known.
 */
export function durationOf(
  lowering: Lowering,
  node: DurationNode | undefined,
  place: string,
): Duration | undefined {
  const duration = node && readDuration(lowering, node, place);
  if (node && !duration) lowering.gaps.count += 1;
  return duration;
}

function readDuration(lowering: Lowering, node: DurationNode, place: string): Duration | undefined {
  const borrowed = node.to && unitAsWritten(node.from) === "" ? unitOf(unitAsWritten(node.to)) : undefined;
  const from =
    borrowed && sameDimension(borrowed.dimension, TIME)
      ? quantityInUnit(lowering, node.from, borrowed)
      : quantityOf(lowering, node.from, [TIME], place);
  const to = node.to && quantityOf(lowering, node.to, [TIME], place);
  if (!from || (node.to && !to)) return undefined;
  if (!isWholeSeconds(lowering, from) || (to && !isWholeSeconds(lowering, to))) return undefined;
  const shortest = inBase(from);
  const origin = lowering.originOf(node);
  if (node.orMore) return { shortest, origin };
  const longest = to ? inBase(to) : shortest;
  if (shortest.compare(longest) > 0) {
    reportContradiction(lowering, origin, "The shortest time is longer than the longest.");
    return undefined;
  }
  return { shortest, longest, origin };
}

/** A time of whole seconds; anything else is reported, and leaves a gap. */
export function timeOf(
  lowering: Lowering,
  measured: Measured | undefined,
  place: string,
): WrittenQuantity | undefined {
  if (!measured) return undefined;
  const time = quantityOf(lowering, measured, [TIME], place);
  if (time && isWholeSeconds(lowering, time)) return time;
  lowering.gaps.count += 1;
  return undefined;
}

function isWholeSeconds(lowering: Lowering, time: WrittenQuantity): boolean {
  if (inBase(time).d === 1n) return true;
  lowering.report({
    rule: "value-out-of-range",
    origin: time.origin,
    what: "Times are whole seconds.",
    label: "not a whole number of seconds",
    next: "Round it to a whole second.",
  });
  return false;
}

export function reportContradiction(lowering: Lowering, origin: Origin, what: string): void {
  lowering.report({
    rule: "bounds-contradict",
    origin,
    what,
    label: "nothing can be both",
    next: "Swap the two, or mend the one that is wrong.",
  });
}

function partsOf(lowering: Lowering, measured: Measured | undefined): Parts | undefined {
  const found = NUMBER_AND_UNIT.exec(measured?.text ?? "");
  if (!measured || !found) return undefined;
  return { number: found[1] ?? "", unit: (found[2] ?? "").trim(), origin: lowering.originOf(measured) };
}

/** The number's value; `unit` is the right spelling of its unit, for a repair that puts both right. */
function numberOf(lowering: Lowering, parts: Parts, unit = parts.unit): Rational | undefined {
  const { number } = parts;
  const right = safelyWritten(number);
  if (right === undefined) {
    lowering.report({
      rule: "number-badly-written",
      origin: parts.origin,
      what: `\`${number}\` can be read in more than one way.`,
      label: "not one clear number",
      next: "Write digits, and one point before the decimals: `1200` or `0.5`.",
    });
    return undefined;
  }
  if (right !== number) reportSpelling(lowering, parts, right, unit);
  return rational(right);
}

/**
 * The number as the published lists of safe dose expressions write it; undefined when it is ambiguous. A comma
 * or a space before groups of three digits parts thousands, any other single comma decimals: `1,000` and
 * `1 000` are 1000, `0,500` is 0.5.
 */
function safelyWritten(number: string): string | undefined {
  const plain = /^[1-9]\d{0,2}(?:(?:,\d{3})+(?:\.\d+)?|(?:[ \u00a0\u2009\u202f]\d{3})+)$/.test(number)
    ? number.replace(/[, \u00a0\u2009\u202f]/g, "")
    : number.replace(/^(\d+),(\d+)$/, "$1.$2");
  if (!/^(?:\d+\.?\d*|\.\d+)$/.test(plain)) return undefined;
  const [whole = "", fraction = ""] = plain.split(".");
  const shortened = fraction.replace(/0+$/, "");
  const digits = whole.replace(/^0+(?=\d)/, "") || "0";
  return shortened ? `${digits}.${shortened}` : digits;
}

function reportSpelling(lowering: Lowering, parts: Parts, right: string, unit: string): void {
  const { number, origin } = parts;
  const text = unit ? `${right} ${unit}` : right;
  lowering.report({
    ...spellingProblem(number, right),
    origin,
    ...correction(origin, text, safetyOf(number)),
  });
}

/** A comma may have been meant for a point, or to part thousands. */
function safetyOf(number: string): Repair["safety"] {
  return number.includes(",") ? "needs-a-look" : "safe";
}

function spellingProblem(number: string, right: string): Pick<Problem, "rule" | "what" | "label"> {
  if (/^\./.test(number)) {
    return {
      rule: "missing-leading-zero",
      what: `\`${number}\` has no zero before its point, which is easily overlooked.`,
      label: "leading zero missing",
    };
  }
  if (/^\d+\.\d*0$|^\d+\.$/.test(number)) {
    return {
      rule: "trailing-zero",
      what: `\`${number}\` ends in a needless ${number.endsWith(".") ? "point" : "zero"}; if the point is overlooked it reads as ten times as much or more.`,
      label: "needless ending",
    };
  }
  return {
    rule: "number-badly-written",
    what: `\`${number}\` is read as ${right}.`,
    label: labelOf(number),
  };
}

function labelOf(number: string): string {
  if (number.includes(",")) return "comma in a number";
  return /\s/.test(number) ? "space in a number" : "needless zeros";
}

function correctUnit(unit: string): string {
  return unitOf(unit)?.symbol ?? misspeltUnit(unit)?.unit?.symbol ?? unit;
}

function unitFor(
  lowering: Lowering,
  parts: Parts,
  expected: readonly Dimension[],
  place: string,
): Unit | undefined {
  if (parts.unit === "") {
    lowering.report({
      rule: "unit-missing",
      origin: parts.origin,
      what: `\`${parts.number}\` has no unit. ${place} takes ${textOfExpected(expected)}.`,
      label: "unit missing",
      next: "Write the unit after the number.",
      repairs: withUnits(parts.origin, safelyWritten(parts.number), expected),
    });
    return undefined;
  }
  const known = unitOf(parts.unit);
  if (known) return known;
  const misspelt = misspeltUnit(parts.unit);
  if (misspelt) {
    reportMisspelt(lowering, parts, misspelt, place, expected);
    return misspelt.unit;
  }
  lowering.report({
    rule: "unit-not-known",
    origin: parts.origin,
    what: `\`${parts.unit}\` is not a unit the language knows. ${place} takes ${textOfExpected(expected)}.`,
    label: "unknown unit",
    next: "Write one of the units named.",
  });
  return undefined;
}

function reportMisspelt(
  lowering: Lowering,
  parts: Parts,
  { unit, misread }: UnitMisspelling,
  place: string,
  expected: readonly Dimension[],
): void {
  const { origin } = parts;
  const base = {
    rule: misread === undefined ? "unit-not-known" : "error-prone-unit",
    origin,
    what:
      misread === undefined
        ? `\`${parts.unit}\` is not how the language writes this unit.`
        : `\`${parts.unit}\` is on the published lists of dose expressions that are misread: ${misread}.`,
  } as const;
  if (!unit) {
    lowering.report({
      ...base,
      severity: "error",
      label: "misread, and not a unit of the language",
      next: `The language has no units of activity. ${place} takes ${textOfExpected(expected)}; other drugs stand as a text, with "units" written out.`,
    });
    return;
  }
  const text = `${safelyWritten(parts.number) ?? parts.number} ${unit.symbol}`;
  lowering.report({
    ...base,
    label: `write ${unit.symbol}`,
    ...correction(origin, text, safetyOf(parts.number)),
  });
}

/** Says that a quantity of one kind stands where another is needed. */
export function reportMismatch(
  lowering: Lowering,
  origin: Origin,
  found: Dimension,
  expected: readonly Dimension[],
  place: string,
): void {
  lowering.report({
    rule: "unit-mismatch",
    origin,
    what: `${place} takes ${textOfExpected(expected)}, but this is ${dimensionName(found)}.`,
    label: `${dimensionName(found)}, not ${textOfExpected(expected)}`,
    next: "Mend the unit, or move the value to where it belongs.",
  });
}

/** Where nothing is said to be expected it is a parameter, which only the catalogue knows. */
function textOfExpected(expected: readonly Dimension[]): string {
  if (expected.length === 0) return "the unit of its parameter, as `limb rules` lists it";
  return expected.map(dimensionName).join(" or ");
}

/** Reads "16 to 85 years", "45 kg to under 50 kg", "60 kg and over", "over 70 kg". Ages are completed years or months. */
export function rangeOf(
  lowering: Lowering,
  range: Range | undefined,
  dimension: Dimension,
  place: string,
): WrittenRange | undefined {
  if (!range) return undefined;
  const shared = unitOfUpper(range, dimension);
  const end = (measured: Measured) =>
    shared && unitAsWritten(measured) === ""
      ? quantityInUnit(lowering, measured, shared)
      : quantityOf(lowering, measured, [dimension], place);
  const lower = range.lower && end(range.lower);
  const upper = range.upper && end(range.upper);
  if ((range.lower && !lower) || (range.upper && !upper)) return undefined;
  const origin = lowering.originOf(range);
  const isAge = sameDimension(dimension, AGE);
  const interval = isAge ? agesOf(range, lower, upper) : intervalOf(range, lower, upper);
  if (isEmpty(interval)) {
    reportContradiction(lowering, origin, "The range is empty: its lower end is above its upper end.");
    return undefined;
  }
  if (isAge && !checkAges(lowering, range, [lower, upper], interval)) return undefined;
  return { interval, unit: (inMonths(lower, upper) ?? upper ?? lower)?.unit.symbol ?? "", origin };
}

/** The unit of the second number, which a first one without a unit takes over. */
function unitOfUpper(range: Range, dimension: Dimension): Unit | undefined {
  const unit = unitOf(unitAsWritten(range.upper));
  return unit && sameDimension(unit.dimension, dimension) ? unit : undefined;
}

function intervalOf(range: Range, lower?: WrittenQuantity, upper?: WrittenQuantity): Interval {
  if (range.andUnder && lower) return { upper: edgeOf(lower, true) };
  return {
    ...(lower && { lower: edgeOf(lower, !range.above) }),
    ...(upper && { upper: edgeOf(upper, !range.below) }),
  };
}

function edgeOf(of: WrittenQuantity, closed: boolean): Endpoint {
  return { value: inBase(of), closed };
}
