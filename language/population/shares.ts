import { ONE, type Rational, ZERO } from "@limbwright/shared/quantity";
import { subtractRange } from "./bands.ts";
import { type Cell, cutToRange, rangeOf } from "./cell.ts";
import { type Box, type Expression, type Patient, variablesOf } from "./expression.ts";
import { byLowerEdge } from "./interval-order.ts";
import { decide, LimitReached, type Limits, type NotDecided } from "./limits.ts";
import { isNegative, isZero, type Linear, variablesIn } from "./linear.ts";
import { type Cutting, domain, expand } from "./pieces.ts";
import { positiveParts, type Quadratic, quadraticAt } from "./quadratic.ts";
import { type Region, regionsOf } from "./region.ts";
import { roundPatient } from "./round-number.ts";

/** An amount and its limit, in the same unit. The limit is over zero, and either fixed or so much per kg. */
export interface Share {
  readonly amount: Expression;
  readonly limit: Expression;
}

/** Whether the amounts, each as a fraction of its limit, come to one at most, for every patient of the box. */
export type SharesAnswer = { readonly kind: "holds" } | SharesOver | NotDecided;

export interface SharesOver {
  readonly kind: "over";
  /** All patients for whom they come to more; where an edge is no fraction, the ranges are not exact. */
  readonly regions: readonly Region[];
  /** The patient for whom they come to most; undefined where nobody has the most, or it is not known who. */
  readonly worst?: Patient;
  /** A patient in round numbers for whom they come to more. */
  readonly clean: Patient;
}

/**
 * Decides a sum of fractions, exactly. Amounts and limits are linear in the weight and nothing else; times
 * the weight, the sum is a quadratic, whose sign is known everywhere. Patients without weight do not exist.
 */
export function compareShares(shares: readonly Share[], box: Box, limits: Limits = {}): SharesAnswer {
  return decide(limits, (work) => {
    const variables = variablesOf(WEIGHT, ...shares.flatMap(({ amount, limit }) => [amount, limit]));
    const covered = cutToRange(domain(box, variables), "weight", { lower: { value: ZERO, closed: false } });
    if (!covered) throw new LimitReached("no patient has a weight over zero");
    const cutting: Cutting = { work, without: [] };
    const pieces = piecesOfSum(shares, covered, cutting);
    if (pieces.length === 0) throw new LimitReached("no patient has all the amounts that are added up");
    const found = pieces.flatMap(violationsIn);
    const [first] = found;
    if (!first) return { kind: "holds" };
    const others = [...cutting.without, ...pieces.flatMap(findKept)];
    const cells = found.map(({ outer }) => outer);
    const exact = found.every((violation) => violation.exact);
    const worst = worstOf(found);
    const near = worst?.violation ?? first;
    return {
      kind: "over",
      regions: regionsOf(cells, others, covered, work).map((region) => ({
        ...region,
        exact: region.exact && exact,
        everybody: region.everybody && exact,
      })),
      ...(worst?.closed && { worst: patientAt(worst, variables) }),
      clean: roundPatient(near.inner, variables, worst ? { weight: worst.weight } : {}),
    };
  });
}

const WEIGHT: Expression = { kind: "variable", variable: "weight" };

/** Patients for whom (the sum of fractions - 1) × weight is one quadratic in the weight. */
interface SumPiece {
  readonly cell: Cell;
  readonly excess: Quadratic;
}

function piecesOfSum(shares: readonly Share[], covered: Cell, cutting: Cutting): SumPiece[] {
  let pieces: SumPiece[] = [{ cell: covered, excess: { square: ZERO, slope: ONE.neg(), constant: ZERO } }];
  for (const { amount, limit } of shares) {
    pieces = pieces.flatMap(({ cell, excess }) =>
      expand(amount, cell, cutting).flatMap((one) =>
        expand(limit, one.cell, cutting).map((two) => ({
          cell: straight(two.cell),
          excess: plusFraction(excess, one.value, two.value),
        })),
      ),
    );
  }
  return pieces;
}

function straight(cell: Cell): Cell {
  if (cell.slanted.length > 0)
    throw new LimitReached("an amount depends on two things of the patient at once");
  return cell;
}

/** Adds amount / limit × weight. */
function plusFraction(sum: Quadratic, amount: Linear, limit: Linear): Quadratic {
  const { constant, slope } = inWeight(amount);
  const below = inWeight(limit);
  const [fixed, perWeight] = [isOverZero(below.constant), isOverZero(below.slope)];
  if (fixed && isZero(below.slope)) {
    return {
      square: sum.square.add(slope.div(below.constant)),
      slope: sum.slope.add(constant.div(below.constant)),
      constant: sum.constant,
    };
  }
  if (perWeight && isZero(below.constant)) {
    return {
      square: sum.square,
      slope: sum.slope.add(slope.div(below.slope)),
      constant: sum.constant.add(constant.div(below.slope)),
    };
  }
  throw new LimitReached("a limit is neither fixed nor so much per weight, or it is not over zero");
}

function inWeight(form: Linear): { readonly constant: Rational; readonly slope: Rational } {
  if (variablesIn(form).some((variable) => variable !== "weight")) {
    throw new LimitReached("an amount depends on something other than the weight");
  }
  return { constant: form.constant, slope: form.slopes.weight ?? ZERO };
}

function isOverZero(value: Rational): boolean {
  return !isZero(value) && !isNegative(value);
}

/** Patients of one piece for whom the fractions come to more than one. */
interface Violation {
  readonly piece: SumPiece;
  readonly outer: Cell;
  readonly inner: Cell;
  readonly exact: boolean;
}

function violationsIn(piece: SumPiece): Violation[] {
  return positiveParts(piece.excess, rangeOf(piece.cell, "weight")).flatMap((part) => {
    const outer = cutToRange(piece.cell, "weight", part.outer);
    const inner = cutToRange(piece.cell, "weight", part.inner);
    return outer && inner ? [{ piece, outer, inner, exact: part.exact }] : [];
  });
}

function findKept(piece: SumPiece): Cell[] {
  const range = rangeOf(piece.cell, "weight");
  let kept = [range];
  for (const { outer } of positiveParts(piece.excess, range)) {
    kept = kept.flatMap((part) => subtractRange(part, outer));
  }
  return kept.sort(byLowerEdge).flatMap((part) => cutToRange(piece.cell, "weight", part) ?? []);
}

/** A weight at an edge of a violation, and by how much the fractions come to more than one there. */
interface Peak {
  readonly violation: Violation;
  readonly weight: Rational;
  readonly closed: boolean;
  readonly over: Rational;
}

/**
 * The greatest of all sums. Over each piece it is at an edge, unless the sum has a hump in the middle or
 * grows without end; then the worst patient is not told.
 */
function worstOf(violations: readonly Violation[]): Peak | undefined {
  const peaks: Peak[] = [];
  for (const violation of violations) {
    const { square, constant } = violation.piece.excess;
    const { lower, upper } = rangeOf(violation.outer, "weight");
    const hasHump = isNegative(square) && isNegative(constant);
    const isEndless = (!upper && !isNegative(square)) || (lower?.value.equals(0) && !isNegative(constant));
    if (hasHump || isEndless) return undefined;
    for (const edge of [lower, upper]) {
      if (!edge || edge.value.equals(0)) continue;
      const over = quadraticAt(violation.piece.excess, edge.value).div(edge.value);
      peaks.push({ violation, weight: edge.value, closed: edge.closed, over });
    }
  }
  return peaks.reduce<Peak | undefined>(
    (best, peak) => (best && !isMore(peak, best) ? best : peak),
    undefined,
  );
}

function isMore(a: Peak, b: Peak): boolean {
  return (a.over.compare(b.over) || Number(a.closed) - Number(b.closed)) > 0;
}

function patientAt({ violation, weight }: Peak, variables: ReturnType<typeof variablesOf>): Patient {
  const others = variables.filter((variable) => variable !== "weight");
  return { weight, ...roundPatient(violation.inner, others) };
}
