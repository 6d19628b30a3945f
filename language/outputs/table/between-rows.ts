import type { Interval, Rational } from "@limbwright/shared/quantity";
import { type Box, type Expression, evaluate, findExtremes, type Variable } from "../../population/index.ts";
import type { BetweenRows, RowPatient } from "./patients.ts";

/**
 * The rows with one more wherever an expression, between two of them, is less than at both (or more, for what is read as the higher of
 * two). Whoever reads between two rows of a table would otherwise take too much of it.
 */
export function withRowsBetween(
  rows: readonly RowPatient[],
  expressions: readonly Expression[],
  { variable, takes }: Pick<BetweenRows, "variable" | "takes">,
): RowPatient[] {
  const winding = expressions.filter((one) => !growsWith(variable, one));
  if (winding.length === 0) return [...rows];
  return rows.flatMap((row, at) => {
    const next = rows[at + 1];
    const between = next && rowBetween(row, next, { variable, takes });
    const isPassed = between && winding.some((one) => passesBoth(one, row, next, between));
    return isPassed ? [row, between] : [row];
  });
}

/** The value of an expression for a row; of several patients the least or the greatest, also where none of them quite has it. */
export function valueFor(
  expression: Expression,
  { patient, ranges, between }: RowPatient,
): Rational | undefined {
  if (!between) return evaluate(expression, patient);
  const box: Box = { ...ranges, [between.variable]: between.range };
  const extremes = findExtremes(expression, box);
  if (extremes.kind === "not-decided") return undefined;
  const extreme = extremes[between.takes];
  return extreme.kind === "endless" ? undefined : extreme.value;
}

/** Undefined where the two rows are not neighbours. */
function rowBetween(
  row: RowPatient,
  next: RowPatient,
  { variable, takes }: Pick<BetweenRows, "variable" | "takes">,
): RowPatient | undefined {
  const [from, to] = [row.patient[variable], next.patient[variable]];
  if (row.ranges !== next.ranges || !from || !to) return undefined;
  const range: Interval = { lower: { value: from, closed: false }, upper: { value: to, closed: false } };
  return { ...row, ranges: { ...row.ranges, [variable]: range }, between: { range, variable, takes } };
}

function passesBoth(expression: Expression, row: RowPatient, next: RowPatient, between: RowPatient): boolean {
  const inside = valueFor(expression, between);
  const [before, after] = [row, next].map(({ patient }) => evaluate(expression, patient));
  if (!before || !after) return false;
  const isBeyond = (of: Rational) =>
    between.between?.takes === "least" ? inside && inside.compare(of) < 0 : inside && inside.compare(of) > 0;
  return !inside || Boolean(isBeyond(before) && isBeyond(after));
}

/** Whether it never falls while a measure grows: then nothing between two rows is less than at the first, or more than at the second. */
function growsWith(variable: Variable, expression: Expression): boolean {
  switch (expression.kind) {
    case "constant":
    case "variable":
      return true;
    case "rounded-down":
      return growsWith(variable, expression.of);
    case "scaled":
      return expression.factor.compare(0) >= 0 && growsWith(variable, expression.of);
    case "sum":
    case "lesser":
    case "greater":
      return growsWith(variable, expression.left) && growsWith(variable, expression.right);
    case "bands":
      return (
        expression.variable !== variable && expression.rows.every(({ value }) => growsWith(variable, value))
      );
    case "difference":
      return false;
  }
}
