import { type Interval, intersect, isEmpty, ONE, type Rational, ZERO } from "@limbwright/shared/quantity";
import { subtractRange } from "./bands.ts";
import { type Cell, costOf, cutToRange, rangeIn, splitCell } from "./cell.ts";
import { checkStep } from "./evaluate.ts";
import { type Band, type Box, type Expression, VARIABLES, type Variable, variablesOf } from "./expression.ts";
import { decide, LimitReached, type Limits, type NotDecided, type Work } from "./limits.ts";
import { addForms, constantForm, type Linear, lessConstant, multiplyForm, subtractForms } from "./linear.ts";

/** Patients for whom the value is one linear function. */
export interface Piece {
  readonly cell: Cell;
  readonly value: Linear;
}

/** The patients of a box, cut so that each lies in exactly one piece or in exactly one cell without value. */
export interface Pieces {
  readonly kind: "pieces";
  readonly pieces: readonly Piece[];
  /** Patients whom a band table leaves out. */
  readonly without: readonly Cell[];
}

/** Cuts a box at every band edge, cap, crossing and rounding step. */
export function piecesOf(expression: Expression, box: Box, limits: Limits = {}): Pieces | NotDecided {
  return decide(limits, (work) => {
    const without: Cell[] = [];
    const pieces = expand(expression, domain(box, variablesOf(expression)), { work, without });
    return { kind: "pieces", pieces, without };
  });
}

/** What a cutting counts and collects on its way. */
export interface Cutting {
  readonly work: Work;
  readonly without: Cell[];
}

/** Nobody is younger than newborn, and nobody's weight, pressure or limb is nothing. */
const IN_NATURE: Readonly<Record<Variable, Interval>> = {
  weight: { lower: { value: ZERO, closed: false } },
  age: { lower: { value: ZERO, closed: true } },
  systolic: { lower: { value: ZERO, closed: false } },
  circumference: { lower: { value: ZERO, closed: false } },
};

/**
 * The box as a cell of the variables that matter, without patients that there are none of. Of the other
 * variables only one thing matters: that patients exist.
 */
export function domain(box: Box, variables: readonly Variable[]): Cell {
  const kept: Partial<Record<Variable, Interval>> = {};
  for (const variable of VARIABLES) {
    const range = intersect(IN_NATURE[variable], box[variable] ?? {});
    if (isEmpty(range)) throw new LimitReached(`no patient is covered: the range of ${variable} is empty`);
    if (variables.includes(variable)) kept[variable] = range;
  }
  return { box: kept, slanted: [] };
}

/** The pieces of an expression over a cell; the patients without a value go to `cutting.without`. */
export function expand(expression: Expression, cell: Cell, cutting: Cutting): Piece[] {
  switch (expression.kind) {
    case "constant":
      return [piece(cell, constantForm(expression.value), cutting)];
    case "variable":
      return [piece(cell, { constant: ZERO, slopes: { [expression.variable]: ONE } }, cutting)];
    case "sum":
      return expandBoth(expression, cell, cutting, (at, left, right) => [
        piece(at, addForms(left, right), cutting),
      ]);
    case "difference":
      return expandBoth(expression, cell, cutting, (at, left, right) => [
        piece(at, subtractForms(left, right), cutting),
      ]);
    case "lesser":
      return expandBoth(expression, cell, cutting, (at, left, right) =>
        splitBySign(at, subtractForms(right, left), left, right, cutting),
      );
    case "greater":
      return expandBoth(expression, cell, cutting, (at, left, right) =>
        splitBySign(at, subtractForms(left, right), left, right, cutting),
      );
    case "scaled":
      return expand(expression.of, cell, cutting).map((of) =>
        piece(of.cell, multiplyForm(of.value, expression.factor), cutting),
      );
    case "rounded-down":
      return expand(expression.of, cell, cutting).flatMap((of) =>
        splitAtSteps(of, checkStep(expression.step), cutting),
      );
    case "bands":
      return splitByBands(expression.variable, expression.rows, cell, cutting);
  }
}

function piece(cell: Cell, value: Linear, { work }: Cutting): Piece {
  work.spend(costOf(cell));
  return { cell, value };
}

/** Both sides over common cells: the right side is cut only where the left side already is. */
function expandBoth(
  { left, right }: { readonly left: Expression; readonly right: Expression },
  cell: Cell,
  cutting: Cutting,
  join: (cell: Cell, left: Linear, right: Linear) => readonly Piece[],
): Piece[] {
  return expand(left, cell, cutting).flatMap((first) =>
    expand(right, first.cell, cutting).flatMap((second) => join(second.cell, first.value, second.value)),
  );
}

/** `left` where the form is zero or more, `right` where it is less. */
function splitBySign(cell: Cell, form: Linear, left: Linear, right: Linear, cutting: Cutting): Piece[] {
  const { atLeast, below } = splitCell(cell, form);
  return [
    ...(atLeast ? [piece(atLeast, left, cutting)] : []),
    ...(below ? [piece(below, right, cutting)] : []),
  ];
}

/** One piece per multiple of the step that the value reaches. */
function splitAtSteps({ cell, value }: Piece, step: Rational, cutting: Cutting): Piece[] {
  const { lower, upper } = rangeIn(cell, value);
  if (!lower || !upper) {
    throw new LimitReached(
      "a rounding has steps without end, because the patients have no limit on that side",
    );
  }
  const first = lower.value.div(step).floor();
  const last = upper.value.div(step).floor();
  cutting.work.foresee(Number(last.sub(first)));
  const pieces: Piece[] = [];
  let rest: Cell | undefined = cell;
  for (let level = first.mul(step); rest; level = level.add(step)) {
    const { atLeast, below } = splitCell(rest, lessConstant(value, level.add(step)));
    if (below) pieces.push(piece(below, constantForm(level), cutting));
    rest = atLeast;
  }
  return pieces;
}

/** The first row that holds a patient counts. */
function splitByBands(variable: Variable, rows: readonly Band[], cell: Cell, cutting: Cutting): Piece[] {
  const pieces: Piece[] = [];
  let rest: Cell[] = [cell];
  for (const { range, value } of rows) {
    const left: Cell[] = [];
    for (const part of rest) {
      const inside = cutToRange(part, variable, range);
      if (inside) pieces.push(...expand(value, inside, cutting));
      left.push(...outside(part, variable, range));
    }
    rest = left;
  }
  cutting.without.push(...rest);
  return pieces;
}

function outside(cell: Cell, variable: Variable, range: Interval): Cell[] {
  return subtractRange(cell.box[variable] ?? {}, range)
    .map((part) => cutToRange(cell, variable, part))
    .filter((part) => part !== undefined);
}
