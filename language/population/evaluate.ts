import { contains, floorTo, greater, lesser, type Rational } from "@limbwright/shared/quantity";
import type { Expression, Patient } from "./expression.ts";
import { isZero } from "./linear.ts";

/**
 * The exact value for one patient, or undefined where a band table leaves the patient out.
 *
 * This follows the expression directly and shares nothing with the pieces, which are tested against it.
 * Throws a RangeError when the patient lacks a variable that the expression needs.
 */
export function evaluate(expression: Expression, patient: Patient): Rational | undefined {
  switch (expression.kind) {
    case "constant":
      return expression.value;
    case "variable":
      return requireMeasure(patient, expression.variable);
    case "sum":
      return evaluateBoth(expression, patient, (left, right) => left.add(right));
    case "difference":
      return evaluateBoth(expression, patient, (left, right) => left.sub(right));
    case "lesser":
      return evaluateBoth(expression, patient, lesser);
    case "greater":
      return evaluateBoth(expression, patient, greater);
    case "scaled":
      return evaluate(expression.of, patient)?.mul(expression.factor);
    case "rounded-down": {
      const value = evaluate(expression.of, patient);
      return value && floorTo(value, checkStep(expression.step));
    }
    case "bands": {
      const given = requireMeasure(patient, expression.variable);
      const row = expression.rows.find(({ range }) => contains(range, given));
      return row && evaluate(row.value, patient);
    }
  }
}

/** The step of a rounding; throws a RangeError unless it is over zero. */
export function checkStep(step: Rational): Rational {
  if (step.s < 0n || isZero(step)) throw new RangeError("a value is rounded to a step over zero");
  return step;
}

function evaluateBoth(
  { left, right }: { readonly left: Expression; readonly right: Expression },
  patient: Patient,
  operation: (left: Rational, right: Rational) => Rational,
): Rational | undefined {
  const first = evaluate(left, patient);
  const second = evaluate(right, patient);
  return first && second && operation(first, second);
}

function requireMeasure(patient: Patient, variable: keyof Patient): Rational {
  const given = patient[variable];
  if (!given) throw new RangeError(`the patient has no ${variable}`);
  return given;
}
