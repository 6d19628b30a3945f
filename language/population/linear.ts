import { type Rational, ZERO } from "@limbwright/shared/quantity";
import type { Patient, Variable } from "./expression.ts";

/** constant + the sum of slope × variable, exactly. A slope of zero is left out. */
export interface Linear {
  readonly constant: Rational;
  readonly slopes: Slopes;
}

export type Slopes = Readonly<Partial<Record<Variable, Rational>>>;

const FLAT: Slopes = {};

export function constantForm(constant: Rational): Linear {
  return { constant, slopes: FLAT };
}

export function isFlat(form: Linear): boolean {
  return variablesIn(form).length === 0;
}

export function variablesIn(form: Linear): Variable[] {
  return Object.keys(form.slopes) as Variable[];
}

export function addForms(a: Linear, b: Linear): Linear {
  return combine(a, b, (x, y) => x.add(y));
}

export function subtractForms(a: Linear, b: Linear): Linear {
  return combine(a, b, (x, y) => x.sub(y));
}

export function multiplyForm(form: Linear, factor: Rational): Linear {
  if (isZero(factor)) return constantForm(ZERO);
  const slopes: Partial<Record<Variable, Rational>> = {};
  for (const [variable, slope] of slopesOf(form)) slopes[variable] = slope.mul(factor);
  return { constant: form.constant.mul(factor), slopes };
}

export function negateForm(form: Linear): Linear {
  const slopes: Partial<Record<Variable, Rational>> = {};
  for (const [variable, slope] of slopesOf(form)) slopes[variable] = slope.neg();
  return { constant: form.constant.neg(), slopes };
}

/** The form less a number. */
export function lessConstant(form: Linear, number: Rational): Linear {
  return { constant: form.constant.sub(number), slopes: form.slopes };
}

/** The value at a patient, who must have every variable of the form. */
export function valueAt(form: Linear, patient: Patient): Rational {
  let value = form.constant;
  for (const [variable, slope] of slopesOf(form)) {
    const given = patient[variable];
    if (!given) throw new RangeError(`the patient has no ${variable}`);
    value = value.add(slope.mul(given));
  }
  return value;
}

/** The number over zero that all slopes of `a` are multiplied by in `b`, if there is one. */
export function scaleBetween(a: Linear, b: Linear): Rational | undefined {
  const slopes = slopesOf(a);
  const [variable, slope] = slopes[0] ?? [];
  const other = variable && b.slopes[variable];
  if (!slope || !other || slopes.length !== variablesIn(b).length) return undefined;
  const scale = other.div(slope);
  if (isNegative(scale)) return undefined;
  return slopes.every(([at, own]) => b.slopes[at]?.equals(own.mul(scale))) ? scale : undefined;
}

export function slopesOf(form: Linear): [Variable, Rational][] {
  return Object.entries(form.slopes) as [Variable, Rational][];
}

export function isZero(number: Rational): boolean {
  return number.n === 0n;
}

export function isNegative(number: Rational): boolean {
  return number.s < 0n && number.n !== 0n;
}

function combine(a: Linear, b: Linear, operation: (x: Rational, y: Rational) => Rational): Linear {
  const slopes: Partial<Record<Variable, Rational>> = { ...a.slopes };
  for (const [variable, slope] of slopesOf(b)) {
    const combined = operation(slopes[variable] ?? ZERO, slope);
    if (isZero(combined)) delete slopes[variable];
    else slopes[variable] = combined;
  }
  return { constant: operation(a.constant, b.constant), slopes };
}
