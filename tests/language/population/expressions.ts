import { type Interval, type Rational, rational } from "@limbwright/shared/quantity";
import type { Band, Expression, Variable } from "../../../language/population/index.ts";

/** Short ways to write expressions, ranges and patients in tests; numbers are decimal texts or fractions. */
export type Number = string | number;

export function constant(value: Number): Expression {
  return { kind: "constant", value: rational(value) };
}

export function variable(name: Variable): Expression {
  return { kind: "variable", variable: name };
}

export function sum(left: Expression, right: Expression): Expression {
  return { kind: "sum", left, right };
}

export function difference(left: Expression, right: Expression): Expression {
  return { kind: "difference", left, right };
}

export function scaled(factor: Number, of: Expression): Expression {
  return { kind: "scaled", factor: rational(factor), of };
}

export function lesser(left: Expression, right: Expression): Expression {
  return { kind: "lesser", left, right };
}

export function greater(left: Expression, right: Expression): Expression {
  return { kind: "greater", left, right };
}

export function roundedDown(step: Number, of: Expression): Expression {
  return { kind: "rounded-down", step: rational(step), of };
}

export function bands(name: Variable, rows: Record<string, Expression>): Expression {
  const list = Object.entries(rows).map(([text, value]): Band => ({ range: range(text), value }));
  return { kind: "bands", variable: name, rows: list };
}

/** A number of mg (or mL) per kg of weight. */
export function perKg(factor: Number): Expression {
  return scaled(factor, variable("weight"));
}

/** "[45, 50)" with the mathematician's brackets; an empty side has no limit. */
export function range(text: string): Interval {
  const parts = /^([[(])(.*),(.*)([\])])$/.exec(text.replaceAll(" ", ""));
  if (!parts) throw new Error(`"${text}" is not a range`);
  const [, open, lower, upper, close] = parts;
  return {
    ...(lower && { lower: { value: rational(lower), closed: open === "[" } }),
    ...(upper && { upper: { value: rational(upper), closed: close === "]" } }),
  };
}

/** Exact texts of the numbers, for comparing patients and values at a glance. */
export function texts(values: Readonly<Partial<Record<string, Rational>>>): Record<string, string> {
  return Object.fromEntries(
    Object.entries(values).flatMap(([name, value]) => (value ? [[name, value.toFraction()]] : [])),
  );
}
