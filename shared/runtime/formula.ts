import {
  contains,
  type Dimension,
  floorTo,
  greater,
  inBase,
  lesser,
  massAndVolumeFactor,
  PRESSURE,
  type Rational,
  rational,
  sameDimension,
  unitWithCode,
} from "../quantity/index.ts";
import type { Formula } from "../rule-file/generated/rule-file.ts";
import { baseInterval, type Measure } from "../rule-file/measures.ts";
import { MEASURE_DIMENSIONS, type Measured } from "./patient.ts";

/** What a formula is worked out with. */
export interface FormulaSetting {
  readonly patient: Measured;
  /** Milligrams in a millilitre: by it a mass can stand where a volume is asked for, and the other way round. */
  readonly concentration?: Rational;
  /** The hospital's own table of occlusion pressures. */
  readonly occlusion?: Formula;
}

/** An exact value in the base units of what it measures: mg, mL, mg/s, mL/s, mmHg. */
export interface Value {
  readonly dimension: Dimension;
  readonly value: Rational;
}

/**
 * What a formula gives to a patient. Undefined where a table has no row for the patient, where a measure is
 * missing, or where its units do not fit together.
 */
export function formulaValue(formula: Formula, setting: FormulaSetting): Value | undefined {
  switch (formula.kind) {
    case "quantity":
      return quantityValue(formula.quantity, setting);
    case "variable":
      return variableValue(formula.variable, setting);
    case "occlusion-pressure":
      return setting.occlusion && formulaValue(setting.occlusion, setting);
    case "sum":
      return combineValues(formula, setting, (left, right) => left.add(right));
    case "difference":
      return combineValues(formula, setting, (left, right) => left.sub(right));
    case "lesser":
      return combineValues(formula, setting, lesser);
    case "greater":
      return combineValues(formula, setting, greater);
    case "capped":
      return combineValues({ left: formula.of, right: formula.limit }, setting, lesser);
    case "rounded-down":
      return roundValue(formula, setting);
    case "share": {
      const of = formulaValue(formula.of, setting);
      return of && { ...of, value: of.value.mul(rational(formula.factor)) };
    }
    case "bands":
      return chooseByBand(formula, setting);
  }
}

/** The same value as another dimension: itself, or mass and volume (or rates of them) by the concentration. */
export function inDimension(
  of: Value | undefined,
  wanted: Dimension,
  concentration: Rational | undefined,
): Value | undefined {
  if (!of || sameDimension(of.dimension, wanted)) return of;
  const factor = concentration && massAndVolumeFactor(of.dimension, wanted, concentration);
  return factor && { dimension: wanted, value: of.value.mul(factor) };
}

/** So much for each kilogram, where the unit says so. */
function quantityValue({ value, unit: code }: Measure, { patient }: FormulaSetting): Value | undefined {
  const unit = unitWithCode(code);
  if (!unit) return undefined;
  const base = inBase({ value: rational(value), unit });
  const { weight: perWeight, ...rest } = unit.dimension;
  if (perWeight !== -1) return { dimension: unit.dimension, value: base };
  return patient.weight && { dimension: rest, value: base.mul(patient.weight) };
}

function variableValue(variable: keyof Measured, { patient }: FormulaSetting): Value | undefined {
  const value = patient[variable];
  return value && { dimension: MEASURE_DIMENSIONS[variable], value };
}

function combineValues(
  { left, right }: { readonly left: Formula; readonly right: Formula },
  setting: FormulaSetting,
  operation: (left: Rational, right: Rational) => Rational,
): Value | undefined {
  const first = formulaValue(left, setting);
  const second = first && inDimension(formulaValue(right, setting), first.dimension, setting.concentration);
  return first && second && { dimension: first.dimension, value: operation(first.value, second.value) };
}

/** Rounds in the dimension of the step: a mass rounded down to 1 mL is rounded as a volume. */
function roundValue(
  { of, step }: Extract<Formula, { kind: "rounded-down" }>,
  setting: FormulaSetting,
): Value | undefined {
  const value = formulaValue(of, setting);
  const unit = unitWithCode(step.unit);
  if (!value || !unit) return undefined;
  const inStep = inDimension(value, unit.dimension, setting.concentration);
  const size = inBase({ value: rational(step.value), unit });
  if (!inStep || size.compare(0) <= 0) return undefined;
  const rounded = { dimension: unit.dimension, value: floorTo(inStep.value, size) };
  return inDimension(rounded, value.dimension, setting.concentration);
}

/** The first row that holds the patient counts; all measure what the first row does. */
function chooseByBand(
  { variable, rows }: Extract<Formula, { kind: "bands" }>,
  setting: FormulaSetting,
): Value | undefined {
  const given = setting.patient[variable];
  const row = given && rows.find(({ range }) => isIn(range, given));
  const [first] = rows;
  if (!row || !first) return undefined;
  const value = formulaValue(row.amount, setting);
  const dimension = dimensionOf(first.amount, setting);
  return dimension && inDimension(value, dimension, setting.concentration);
}

function isIn(range: Parameters<typeof baseInterval>[0], value: Rational): boolean {
  const interval = baseInterval(range);
  return interval !== undefined && contains(interval, value);
}

/** What a formula measures, for whomever it is worked out. */
function dimensionOf(formula: Formula, setting: FormulaSetting): Dimension | undefined {
  switch (formula.kind) {
    case "quantity": {
      const unit = unitWithCode(formula.quantity.unit);
      if (!unit) return undefined;
      const { weight: _perWeight, ...rest } = unit.dimension;
      return rest;
    }
    case "variable":
      return MEASURE_DIMENSIONS[formula.variable];
    case "occlusion-pressure":
      return PRESSURE;
    case "capped":
    case "rounded-down":
    case "share":
      return dimensionOf(formula.of, setting);
    case "bands":
      return formula.rows[0] && dimensionOf(formula.rows[0].amount, setting);
    case "sum":
    case "difference":
    case "lesser":
    case "greater":
      return dimensionOf(formula.left, setting);
  }
}
