import { type Interval, ONE, type Rational, ZERO } from "@limbwright/shared/quantity";
import { type Cell, closure, constrain, constraintsOf, rangeIn } from "./cell.ts";
import { type Box, type Expression, type Patient, type Variable, variablesOf } from "./expression.ts";
import { decide, type Limits, type NotDecided } from "./limits.ts";
import { type Linear, lessConstant, multiplyForm, negateForm, subtractForms, valueAt } from "./linear.ts";
import { domain, expand, type Piece } from "./pieces.ts";
import { roundPatient } from "./round-number.ts";

/**
 * The greatest (or least) value over a set of patients.
 * `attained`: the patient has it. `approached`: patients come as near as one likes to this one, who is not
 * of the set himself (an open edge); the value is the limit. `endless`: no patient is the limit, for the
 * value goes on growing with a variable that has no limit.
 */
export type Extreme =
  | { readonly kind: "attained"; readonly patient: Patient; readonly value: Rational }
  | { readonly kind: "approached"; readonly patient: Patient; readonly value: Rational }
  | { readonly kind: "endless" };

/** What is called great: the value itself, or the value per kg of the patient's weight. */
export type Measure = "absolute" | "per-weight";

export interface Extremes {
  readonly kind: "extremes";
  readonly least: Extreme;
  readonly greatest: Extreme;
}

/** The least and the greatest value over all patients of the box who have one. */
export function findExtremes(expression: Expression, box: Box, limits: Limits = {}): Extremes | NotDecided {
  return decide(limits, (work) => {
    const variables = variablesOf(expression);
    const pieces = expand(expression, domain(box, variables), { work, without: [] });
    const mirrored = pieces.map(({ cell, value }) => ({ cell, value: negateForm(value) }));
    const most = findGreatest(pieces, variables);
    const least = findGreatest(mirrored, variables);
    if (!most || !least) return { kind: "not-decided", limit: "no patient has a value" };
    return { kind: "extremes", least: negateExtreme(least.extreme), greatest: most.extreme };
  });
}

/** The greatest value over pieces and the piece that has it; undefined when there is no piece. */
export function findGreatest<P extends Piece>(
  pieces: readonly P[],
  variables: readonly Variable[],
  measure: Measure = "absolute",
): { readonly extreme: Extreme; readonly piece: P } | undefined {
  let best: { readonly piece: P; readonly range: Interval } | undefined;
  for (const piece of pieces) {
    const range = measure === "absolute" ? rangeIn(piece.cell, piece.value) : rangePerWeight(piece);
    if (range && (!best || isGreater(range, best.range))) best = { piece, range };
  }
  return best && { extreme: locate(best.piece, best.range, variables, measure), piece: best.piece };
}

function isGreater({ upper: a }: Interval, { upper: b }: Interval): boolean {
  if (!a || !b) return b !== undefined;
  return (a.value.compare(b.value) || Number(a.closed) - Number(b.closed)) > 0;
}

/** The patient at the upper edge of a piece's range. */
function locate(
  piece: Piece,
  { upper }: Interval,
  variables: readonly Variable[],
  measure: Measure,
): Extreme {
  if (!upper) return { kind: "endless" };
  const cell = upper.closed ? piece.cell : closure(piece.cell);
  const reaches =
    measure === "absolute"
      ? lessConstant(piece.value, upper.value)
      : subtractForms(piece.value, multiplyForm(WEIGHT, upper.value));
  const there = constrain(cell, { form: reaches, strict: false });
  if (!there) return { kind: "endless" };
  const patient = roundPatient(there, variables);
  return { kind: upper.closed ? "attained" : "approached", patient, value: valueAt(piece.value, patient) };
}

const WEIGHT: Linear = { constant: ZERO, slopes: { weight: ONE } };
const OVER_ZERO: Interval = { lower: { value: ZERO, closed: false } };

/**
 * The range of value / weight over the patients of a piece who have a weight over zero; undefined when none
 * has. Every patient (weight, age, …) is seen as (1/weight, age/weight, …): what was linear stays linear,
 * with the constant and the slope of the weight in each other's place.
 */
function rangePerWeight({ cell, value }: Piece): Interval | undefined {
  let seen: Cell | undefined = { box: { weight: OVER_ZERO }, slanted: [] };
  for (const { form, strict } of constraintsOf(cell)) {
    seen = seen && constrain(seen, { form: perWeight(form), strict });
  }
  return seen && rangeIn(seen, perWeight(value));
}

function perWeight({ constant, slopes }: Linear): Linear {
  const { weight, ...others } = slopes;
  const inverse = constant.n === 0n ? {} : { weight: constant };
  return { constant: weight ?? ZERO, slopes: { ...others, ...inverse } };
}

function negateExtreme(extreme: Extreme): Extreme {
  return extreme.kind === "endless" ? extreme : { ...extreme, value: extreme.value.neg() };
}
