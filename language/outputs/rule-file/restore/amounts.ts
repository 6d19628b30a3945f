import {
  type Dimension,
  dimensionName,
  rational,
  requiredUnit,
  sameDimension,
} from "@limbwright/shared/quantity";
import { type Formula, pointer } from "@limbwright/shared/rule-file";
import {
  type Amount,
  type BandedRow,
  bandedAmount,
  cappedAmount,
  combinedAmount,
  occlusionAmount,
  quantityAmount,
  roundedAmount,
  shareAmount,
  variableAmount,
  type WrittenQuantity,
} from "../../../model/index.ts";
import type { Places } from "./places.ts";
import { quantityFrom, rangeFrom, Senseless } from "./values.ts";

export interface FormulaContext {
  readonly places: Places;
  readonly concentration?: WrittenQuantity;
  /** The table of occlusion pressures, for a cuff's pressure. */
  readonly occlusion?: Amount;
}

/** The amount of a formula, put together as it was when it was read; it has to measure one of `expected`. */
export function measuredFrom(
  context: FormulaContext,
  formula: Formula,
  path: string,
  expected: readonly Dimension[],
): Amount {
  const amount = amountFrom(context, formula, path);
  if (expected.some((dimension) => sameDimension(dimension, amount.dimension))) return amount;
  throw new Senseless(`${path} is ${dimensionName(amount.dimension)}`);
}

function amountFrom(context: FormulaContext, formula: Formula, path: string): Amount {
  const amount = putTogether(context, formula, path);
  if (!amount) throw new Senseless(`the units in ${path} do not fit together`);
  return amount;
}

function putTogether(context: FormulaContext, formula: Formula, path: string): Amount | undefined {
  const { places, concentration, occlusion } = context;
  const origin = places.at(path);
  const part = (key: "left" | "right" | "of" | "limit", inner: Formula) =>
    amountFrom(context, inner, pointer(path, key));
  switch (formula.kind) {
    case "quantity":
      return quantityAmount(quantityFrom(formula.quantity, origin));
    case "variable":
      return variableAmount(formula.variable, origin);
    case "occlusion-pressure":
      return occlusion && occlusionAmount(occlusion, origin);
    case "capped": {
      const of = part("of", formula.of);
      return cappedAmount(of, part("limit", formula.limit), origin, concentration);
    }
    case "rounded-down":
      return roundedFrom(context, formula, path);
    case "share": {
      const factor = rational(formula.factor);
      const written = { value: factor.mul(100), unit: requiredUnit("%"), origin };
      return shareAmount(factor.equals(0.5) ? "half" : written, part("of", formula.of), origin);
    }
    case "bands":
      return bandsFrom(context, formula, path);
    default: {
      const left = part("left", formula.left);
      return combinedAmount(formula.kind, left, part("right", formula.right), origin, concentration);
    }
  }
}

function roundedFrom(
  context: FormulaContext,
  formula: Extract<Formula, { kind: "rounded-down" }>,
  path: string,
): Amount | undefined {
  const origin = context.places.at(path);
  const step = quantityFrom(formula.step, origin);
  if (step.value.compare(0) <= 0) throw new Senseless(`${path} is rounded to a step that is not over zero`);
  const of = amountFrom(context, formula.of, pointer(path, "of"));
  return roundedAmount(of, step, origin, context.concentration);
}

function bandsFrom(
  context: FormulaContext,
  formula: Extract<Formula, { kind: "bands" }>,
  path: string,
): Amount | undefined {
  const [first, ...others] = formula.rows.map((row, index): BandedRow => {
    const rowPath = pointer(pointer(path, "rows"), index);
    const origin = context.places.at(rowPath);
    const amount = amountFrom(context, row.amount, pointer(rowPath, "amount"));
    return { range: rangeFrom(row.range, origin), amount, origin };
  });
  const origin = context.places.at(path);
  return first && bandedAmount(formula.variable, [first, ...others], origin, context.concentration);
}
