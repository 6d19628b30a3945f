import { agesText, type Interval, inBase, type Rational } from "@limbwright/shared/quantity";
import type { Range } from "../grammar/generated/ast.ts";
import type { WrittenQuantity } from "../model/index.ts";
import { correction, type Lowering } from "./context.ts";

/** The end whose unit the other can be told in, too: four months are no decimal number of years. */
export function inMonths(...ends: readonly (WrittenQuantity | undefined)[]): WrittenQuantity | undefined {
  return ends.find((end) => end?.unit.ucum === "mo");
}

/** Ages end the day before the next birthday, or the day before the next month is completed. */
export function agesOf(range: Range, lower?: WrittenQuantity, upper?: WrittenQuantity): Interval {
  const last = range.andUnder ? lower : upper;
  const first = range.andUnder ? undefined : lower;
  return {
    ...(first && { lower: { value: range.above ? afterAge(first) : inBase(first), closed: true } }),
    ...(last && { upper: { value: range.below ? inBase(last) : afterAge(last), closed: false } }),
  };
}

function afterAge(of: WrittenQuantity): Rational {
  return inBase(of).add(of.unit.perBase);
}

/** Says where ages are written in a way that is read in two ways; false where nothing can be made of them. */
export function checkAges(
  lowering: Lowering,
  range: Range,
  ends: readonly (WrittenQuantity | undefined)[],
  interval: Interval,
): boolean {
  const broken = ends.find((end) => end && end.value.d !== 1n);
  if (broken) {
    lowering.report({
      rule: "age-read-in-two-ways",
      origin: broken.origin,
      what: "An age is a number of completed years, or of completed months.",
      label: "not a whole number",
      next: "Write a whole number, in months where years are too coarse: `6 months`.",
    });
    return false;
  }
  if (!range.above && !range.below) return true;
  const origin = lowering.originOf(range);
  const word = range.above ? "over" : "under";
  lowering.report({
    rule: "age-read-in-two-ways",
    origin,
    what: `Ages are completed years: \`${word}\` can be read as from the birthday or from the next one.`,
    label: `\`${word}\` beside an age`,
    ...correction(origin, agesText(interval) ?? "", range.above ? "needs-a-look" : "safe"),
  });
  return true;
}
