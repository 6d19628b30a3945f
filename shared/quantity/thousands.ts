import { UNITS } from "./unit.ts";

/**
 * A whole number with its thousands set apart, by the thin space that never ends a line (U+202F): a comma is a decimal sign to many
 * readers, and the thin space that does (U+2009) could leave "1" on one line and "200 mL" on the next. This is for counts and for
 * paper. Everywhere else a quantity has nothing between thousands (`quantityText`), as the language and programs want it.
 */
export function thousands(whole: number | string): string {
  return String(whole).replace(/\B(?=(\d{3})+$)/g, "\u202f");
}

/** A text for paper, with the thousands set apart in each number that a unit follows; other numbers may be a telephone's or a year's. */
export function quantitiesOnPaper(text: string): string {
  return text.replace(BEFORE_A_UNIT, thousands);
}

/** The same of a cell, whose unit stands at the head of its column. */
export function cellOnPaper(text: string): string {
  return text.replace(/(?<![\p{L}\d.,:/-])\d{4,}(?![\p{L}\d,:/-])/gu, thousands);
}

const UNIT = UNITS.map(({ symbol }) => symbol)
  .sort((a, b) => b.length - a.length)
  .join("|");

/** Four digits or more before a unit, or before the rest of a range that ends with one. */
const BEFORE_A_UNIT = new RegExp(
  `(?<![\\p{L}\\d.,:/-])\\d{4,}(?=(?:\\.\\d+)?(?: to (?:under )?\\d+(?:\\.\\d+)?)? (?:${UNIT})(?![\\p{L}\\d/]))`,
  "gu",
);
