import type { Interval, Rational } from "@limbwright/shared/quantity";

/** What a patient varies in. Base units: weight kg, age years, systolic mmHg, circumference cm. */
export type Variable = "weight" | "age" | "systolic" | "circumference";

export const VARIABLES: readonly Variable[] = ["weight", "age", "systolic", "circumference"];

/** One patient, as far as it matters: a number, in base units, per variable. */
export type Patient = Readonly<Partial<Record<Variable, Rational>>>;

/** The patients a protocol covers: an interval per variable; a variable left out is without limits. */
export type Box = Readonly<Partial<Record<Variable, Interval>>>;

/**
 * A piecewise-linear function of the patient, in base units (mg, mL, mmHg, …).
 *
 * `bands` has no value where no row's range holds the patient, and the first row that does counts
 * where two overlap; both are judged by their own rules. `rounded-down` gives the largest multiple of
 * `step` that is not above the value.
 */
export type Expression =
  | { readonly kind: "constant"; readonly value: Rational }
  | { readonly kind: "variable"; readonly variable: Variable }
  | { readonly kind: "sum"; readonly left: Expression; readonly right: Expression }
  | { readonly kind: "difference"; readonly left: Expression; readonly right: Expression }
  | { readonly kind: "scaled"; readonly factor: Rational; readonly of: Expression }
  | { readonly kind: "lesser"; readonly left: Expression; readonly right: Expression }
  | { readonly kind: "greater"; readonly left: Expression; readonly right: Expression }
  | { readonly kind: "rounded-down"; readonly step: Rational; readonly of: Expression }
  | { readonly kind: "bands"; readonly variable: Variable; readonly rows: readonly Band[] };

export interface Band {
  readonly range: Interval;
  readonly value: Expression;
}

/** The variables an expression mentions, in the order of `VARIABLES`. */
export function variablesOf(...expressions: readonly Expression[]): Variable[] {
  const found = new Set<Variable>();
  for (const expression of expressions) collect(expression, found);
  return VARIABLES.filter((variable) => found.has(variable));
}

function collect(expression: Expression, found: Set<Variable>): void {
  if (expression.kind === "variable" || expression.kind === "bands") found.add(expression.variable);
  for (const part of partsOf(expression)) collect(part, found);
}

/** The expressions that one is made of. */
export function partsOf(expression: Expression): readonly Expression[] {
  switch (expression.kind) {
    case "constant":
    case "variable":
      return [];
    case "scaled":
    case "rounded-down":
      return [expression.of];
    case "bands":
      return expression.rows.map((row) => row.value);
    case "sum":
    case "difference":
    case "lesser":
    case "greater":
      return [expression.left, expression.right];
  }
}

/** The expression as if nothing in it were rounded down; itself where nothing is. */
export function withoutRounding(expression: Expression): Expression {
  return isRounded(expression) ? unround(expression) : expression;
}

function isRounded(expression: Expression): boolean {
  return expression.kind === "rounded-down" || partsOf(expression).some(isRounded);
}

function unround(expression: Expression): Expression {
  switch (expression.kind) {
    case "rounded-down":
      return unround(expression.of);
    case "scaled":
      return { ...expression, of: unround(expression.of) };
    case "sum":
    case "difference":
    case "lesser":
    case "greater":
      return { ...expression, left: unround(expression.left), right: unround(expression.right) };
    case "bands":
      return { ...expression, rows: expression.rows.map((row) => ({ ...row, value: unround(row.value) })) };
    case "constant":
    case "variable":
      return expression;
  }
}
