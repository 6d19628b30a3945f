import { decimalText, floorTo, ONE, type Rational, ratio, rational } from "./rational.ts";

/**
 * What is drawn up of a volume. A syringe is read off at its marks, and nobody draws up more than the dose.
 *
 * `at-a-mark`: the last mark that is not over the volume, which takes away no more than it may. `less`: that mark takes away
 * more. `nothing`: the volume lies below the first mark. `not-said`: nobody says which syringe, and none is guessed.
 */
export type DrawnUp =
  | { readonly kind: "at-a-mark" | "less"; readonly drawn: Rational; readonly mark: Rational }
  | { readonly kind: "nothing"; readonly mark: Rational }
  | { readonly kind: "not-said" };

/**
 * How a dose is drawn up where nobody says in which syringe: the usual ones for more than 5 mL, of 10, 20 and 50 mL, all have a
 * mark at each whole millilitre. What is smaller goes into syringes whose marks differ. Common practice, no source.
 */
export const USUAL_MARK = ONE;
export const LITTLE = rational(5);

/** What is drawn up of a volume, mL. `mark` is how far the marks are apart where somebody says so, `most` the share of the dose that may be lost. */
export function drawUp(volume: Rational, mark: Rational | undefined, most: Rational): DrawnUp {
  const drawn = floorTo(volume, mark ?? USUAL_MARK);
  const losesLittle = volume.sub(drawn).compare(volume.mul(most)) <= 0;
  if (!mark) {
    const isUsual = losesLittle && volume.compare(LITTLE) > 0;
    return isUsual ? { kind: "at-a-mark", drawn, mark: USUAL_MARK } : { kind: "not-said" };
  }
  if (drawn.compare(0) <= 0) return { kind: "nothing", mark };
  return { kind: losesLittle ? "at-a-mark" : "less", drawn, mark };
}

/** The share that a number of percent stands for. */
export function shareOf(percent: Rational): Rational {
  return percent.mul(ratio(1, 100));
}

/**
 * The volume that stands on paper. By the formula where nobody says in which syringe; none where the marks lose a dose that
 * rescues, or any dose as a whole: a plain number there would be followed.
 */
export function volumeOnPaper(
  drawing: DrawnUp | undefined,
  byFormula: Rational | undefined,
  isToRescue: boolean,
): Rational | undefined {
  switch (drawing?.kind) {
    case undefined:
    case "nothing":
      return undefined;
    case "not-said":
      return byFormula;
    case "at-a-mark":
      return drawing.drawn;
    case "less":
      return isToRescue ? undefined : drawing.drawn;
  }
}

/** Decimals of an amount on paper: more than nearly every syringe shows. */
const PLACES = 2;
/** A small amount is never printed as nothing, nor as much less than it is: so many of its first figures are kept. */
const LEAST_FIGURES = 3;
/** Less than any drug is given by. */
const MOST_PLACES = 12;

/** How many decimals an amount has on paper. */
function placesOnPaper(value: Rational): number {
  const isEnough = (places: number) => value.mul(10 ** places).compare(10 ** (LEAST_FIGURES - 1)) >= 0;
  let places = PLACES;
  if (value.mul(10).compare(1) < 0) while (places < MOST_PLACES && !isEnough(places)) places += 1;
  return places;
}

/** An amount as it stands on paper: never more than it is. */
export function amountOnPaper(value: Rational): Rational {
  return floorTo(value, ratio(1, 10 ** placesOnPaper(value)));
}

/** The same as a text: no trailing zero, nothing between thousands. */
export function paperText(value: Rational): string {
  return decimalText(amountOnPaper(value), placesOnPaper(value)).text;
}
