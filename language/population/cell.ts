import {
  type Endpoint,
  type Interval,
  intersect,
  isEmpty,
  ONE,
  type Rational,
  ZERO,
} from "@limbwright/shared/quantity";
import { commonDivisor, isFeasible, project, type Row } from "./elimination.ts";
import type { Box, Variable } from "./expression.ts";
import {
  constantForm,
  isFlat,
  isNegative,
  isZero,
  type Linear,
  negateForm,
  scaleBetween,
  slopesOf,
  subtractForms,
  variablesIn,
} from "./linear.ts";

/** form ≥ 0, or form > 0 when strict. */
export interface Constraint {
  readonly form: Linear;
  readonly strict: boolean;
}

/**
 * A set of patients, never empty: an interval per variable, and constraints that tie two or more
 * variables together. A variable that the box does not name is free.
 */
export interface Cell {
  readonly box: Box;
  readonly slanted: readonly Constraint[];
}

/** The cell cut in two: where the form is zero or more, and where it is less. */
export interface Halves {
  readonly atLeast: Cell | undefined;
  readonly below: Cell | undefined;
}

export function splitCell(cell: Cell, form: Linear): Halves {
  const [first, second] = slopesOf(form);
  if (!first) return isNegative(form.constant) ? allBelow(cell) : allAtLeast(cell);
  return second ? splitAcross(cell, form) : splitAlong(cell, first[0], form.constant, first[1]);
}

/** The patients of the cell for whom the constraint holds. */
export function constrain(cell: Cell, { form, strict }: Constraint): Cell | undefined {
  return strict ? splitCell(cell, negateForm(form)).below : splitCell(cell, form).atLeast;
}

/** The patients of the cell whose variable lies in the range. */
export function cutToRange(cell: Cell, variable: Variable, range: Interval): Cell | undefined {
  const interval = intersect(cell.box[variable] ?? {}, range);
  if (isEmpty(interval)) return undefined;
  const narrowed = { box: { ...cell.box, [variable]: interval }, slanted: cell.slanted };
  return cell.slanted.length === 0 || isInhabited(narrowed) ? narrowed : undefined;
}

/** The patients in both cells. */
export function intersectCells(a: Cell, b: Cell): Cell | undefined {
  let cell: Cell | undefined = { box: b.box, slanted: [] };
  for (const [variable, range] of Object.entries(a.box) as [Variable, Interval][]) {
    cell = cell && cutToRange(cell, variable, range);
  }
  for (const constraint of [...a.slanted, ...b.slanted]) {
    cell = cell && constrain(cell, constraint);
  }
  return cell;
}

/** The values a form takes over a cell; an edge is closed where a patient of the cell attains it. */
export function rangeIn(cell: Cell, form: Linear): Interval {
  const overBox = rangeOverBox(cell.box, form);
  if (cell.slanted.length === 0 || isFlat(form)) return overBox;
  const axes = axesOf(cell, variablesIn(form));
  const value = axes.length;
  const rows = rowsOf(cell, axes, value + 1);
  const equal = rowOf({ form, strict: false }, axes, value + 1, ONE.neg());
  const opposite = rowOf({ form: negateForm(form), strict: false }, axes, value + 1, ONE);
  return project([...rows, equal, opposite], value);
}

/** The values one variable takes over a cell, exactly. */
export function rangeOf(cell: Cell, variable: Variable): Interval {
  const [only, another] = cell.slanted;
  const own = cell.box[variable] ?? {};
  if (!only) return own;
  if (!another) return intersect(own, boundBy(cell.box, only, variable));
  const axes = axesOf(cell, [variable]);
  return project(rowsOf(cell, axes, axes.length), axes.indexOf(variable));
}

/** The same cell without the constraints that the others already imply. */
export function simplify(cell: Cell): Cell {
  let slanted = cell.slanted;
  for (const constraint of cell.slanted) {
    const others = slanted.filter((other) => other !== constraint);
    const without = { box: cell.box, slanted: others };
    if (!constrain(without, opposite(constraint))) slanted = others;
  }
  return slanted === cell.slanted ? cell : { box: cell.box, slanted };
}

/** The cell with all its edges. */
export function closure(cell: Cell): Cell {
  const box: Partial<Record<Variable, Interval>> = {};
  for (const [variable, { lower, upper }] of Object.entries(cell.box) as [Variable, Interval][]) {
    box[variable] = {
      ...(lower && { lower: { value: lower.value, closed: true } }),
      ...(upper && { upper: { value: upper.value, closed: true } }),
    };
  }
  return { box, slanted: cell.slanted.map(({ form }) => ({ form, strict: false })) };
}

/** Every constraint of the cell, those of its box included. */
export function constraintsOf(cell: Cell): Constraint[] {
  const sides = (Object.entries(cell.box) as [Variable, Interval][]).flatMap(
    ([variable, { lower, upper }]) => {
      const form: Linear = { constant: ZERO, slopes: { [variable]: ONE } };
      return [
        ...(lower ? [{ form: subtractForms(form, constantForm(lower.value)), strict: !lower.closed }] : []),
        ...(upper ? [{ form: subtractForms(constantForm(upper.value), form), strict: !upper.closed }] : []),
      ];
    },
  );
  return [...sides, ...cell.slanted];
}

/** What a question about the cell costs, in pieces: constraints that cross each other make it dear. */
export function costOf({ slanted }: Cell): number {
  return Math.max(1, slanted.length - 1);
}

function allAtLeast(cell: Cell): Halves {
  return { atLeast: cell, below: undefined };
}

function allBelow(cell: Cell): Halves {
  return { atLeast: undefined, below: cell };
}

function opposite({ form, strict }: Constraint): Constraint {
  return { form: negateForm(form), strict: !strict };
}

/** Cuts at slope × variable + constant = 0. */
function splitAlong(cell: Cell, variable: Variable, constant: Rational, slope: Rational): Halves {
  const root = constant.neg().div(slope);
  if (isNegative(slope)) {
    return {
      atLeast: cutToRange(cell, variable, { upper: { value: root, closed: true } }),
      below: cutToRange(cell, variable, { lower: { value: root, closed: false } }),
    };
  }
  return {
    atLeast: cutToRange(cell, variable, { lower: { value: root, closed: true } }),
    below: cutToRange(cell, variable, { upper: { value: root, closed: false } }),
  };
}

/** Cuts along a line, plane or hyperplane that ties variables together. */
function splitAcross(cell: Cell, form: Linear): Halves {
  const { lower, upper } = rangeOverBox(cell.box, form);
  if (lower && !isNegative(lower.value)) return allAtLeast(cell);
  if (upper && (isNegative(upper.value) || (isZero(upper.value) && !upper.closed))) return allBelow(cell);
  const atLeast = withSlanted(cell, { form, strict: false });
  const below = withSlanted(cell, { form: negateForm(form), strict: true });
  if (cell.slanted.length === 0) return { atLeast, below };
  return {
    atLeast: isInhabited(atLeast) ? atLeast : undefined,
    below: isInhabited(below) ? below : undefined,
  };
}

/** Of constraints in one direction only the tightest is kept; rounding would else pile them up. */
function withSlanted(cell: Cell, constraint: Constraint): Cell {
  const slanted: Constraint[] = [];
  for (const other of cell.slanted) {
    const scale = scaleBetween(constraint.form, other.form);
    if (!scale) slanted.push(other);
    else if (isImplied(constraint, other, scale)) return cell;
  }
  return { box: cell.box, slanted: [...slanted, constraint] };
}

/** Whether the other constraint, in the same direction, implies this one; other = scale × this, but for the constants. */
function isImplied(constraint: Constraint, other: Constraint, scale: Rational): boolean {
  const order = other.form.constant.compare(constraint.form.constant.mul(scale));
  return order < 0 || (order === 0 && (other.strict || !constraint.strict));
}

function isInhabited(cell: Cell): boolean {
  const axes = axesOf(cell, []);
  return isFeasible(rowsOf(cell, axes, axes.length));
}

/** What one slanted constraint, with a box around it, leaves to a variable. */
function boundBy(box: Box, { form, strict }: Constraint, variable: Variable): Interval {
  const { [variable]: slope, ...others } = form.slopes;
  if (!slope) return {};
  const most = rangeOverBox(box, { constant: form.constant, slopes: others }).upper;
  if (!most) return {};
  const edge: Endpoint = { value: most.value.neg().div(slope), closed: most.closed && !strict };
  return isNegative(slope) ? { upper: edge } : { lower: edge };
}

function rangeOverBox(box: Box, form: Linear): Interval {
  const start: Endpoint = { value: form.constant, closed: true };
  let lower: Endpoint | undefined = start;
  let upper: Endpoint | undefined = start;
  for (const [variable, slope] of slopesOf(form)) {
    const range = box[variable] ?? {};
    const [low, high] = isNegative(slope) ? [range.upper, range.lower] : [range.lower, range.upper];
    lower = addEdge(lower, slope, low);
    upper = addEdge(upper, slope, high);
  }
  return { ...(lower && { lower }), ...(upper && { upper }) };
}

function addEdge(
  sum: Endpoint | undefined,
  slope: Rational,
  edge: Endpoint | undefined,
): Endpoint | undefined {
  if (!sum || !edge) return undefined;
  return { value: sum.value.add(slope.mul(edge.value)), closed: sum.closed && edge.closed };
}

/** The variables a question about the cell has to look at: those tied together, and those asked for. */
function axesOf(cell: Cell, asked: readonly Variable[]): Variable[] {
  return [...new Set([...cell.slanted.flatMap(({ form }) => variablesIn(form)), ...asked])];
}

function rowsOf(cell: Cell, axes: readonly Variable[], width: number): Row[] {
  return constraintsOf(cell)
    .filter(({ form }) => variablesIn(form).every((variable) => axes.includes(variable)))
    .map((constraint) => rowOf(constraint, axes, width));
}

/** The constraint in whole numbers; `last` is the coefficient of an axis after those of the variables. */
function rowOf({ form, strict }: Constraint, axes: readonly Variable[], width: number, last = ZERO): Row {
  const numbers = axes.map((axis) => form.slopes[axis] ?? ZERO);
  if (width > axes.length) numbers.push(last);
  let scale = form.constant.d;
  for (const { d } of numbers) scale = (scale / commonDivisor(scale, d)) * d;
  const whole = ({ s, n, d }: Rational): bigint => s * n * (scale / d);
  return { coefficients: numbers.map(whole), constant: whole(form.constant), strict };
}
