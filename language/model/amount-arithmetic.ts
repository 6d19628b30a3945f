import type { Origin } from "@limbwright/shared/finding";
import {
  AGE,
  type Dimension,
  inBase,
  LENGTH,
  MASS,
  massAndVolumeFactor,
  PRESSURE,
  type Rational,
  ratio,
  sameDimension,
  VOLUME,
  WEIGHT,
  ZERO,
} from "@limbwright/shared/quantity";
import type { Expression, Variable } from "../population/expression.ts";
import type { Amount, AmountNode } from "./amount.ts";
import type { WrittenQuantity, WrittenRange } from "./written.ts";

/*
 * How amounts are put together. Each function gives undefined where the units do not fit together; who
 * called it knows where that is written and says so. `concentration` is that of the agent, by which a mass
 * can stand where a volume is asked for, and the other way round.
 */

export const VARIABLE_DIMENSIONS: Readonly<Record<Variable, Dimension>> = {
  weight: WEIGHT,
  age: AGE,
  systolic: PRESSURE,
  circumference: LENGTH,
};

export function quantityAmount(quantity: WrittenQuantity): Amount {
  const node: AmountNode = { kind: "quantity", quantity, origin: quantity.origin };
  const base = inBase(quantity);
  if (quantity.unit.dimension.weight !== -1) {
    const expression: Expression = { kind: "constant", value: base };
    return { node, dimension: quantity.unit.dimension, expression, origin: quantity.origin };
  }
  return {
    node,
    dimension: withoutWeight(quantity.unit.dimension),
    expression: { kind: "scaled", factor: base, of: { kind: "variable", variable: "weight" } },
    origin: quantity.origin,
  };
}

export function variableAmount(variable: Variable, origin: Origin): Amount {
  return {
    node: { kind: "variable", variable, origin },
    dimension: VARIABLE_DIMENSIONS[variable],
    expression: { kind: "variable", variable },
    origin,
  };
}

/** The pressure that the hospital's own table gives. */
export function occlusionAmount(table: Amount, origin: Origin): Amount {
  return { ...table, node: { kind: "occlusion-pressure", of: table.node, origin }, origin };
}

export type Combination = "sum" | "difference" | "lesser" | "greater";

export function combineAmounts(
  kind: Combination,
  left: Amount,
  right: Amount,
  origin: Origin,
  concentration?: WrittenQuantity,
): Amount | undefined {
  const fitting = likeDimension(right, left.dimension, concentration);
  return (
    fitting && {
      node: { kind, left: left.node, right: right.node, origin },
      dimension: left.dimension,
      expression: { kind, left: left.expression, right: fitting },
      origin,
    }
  );
}

export function capAmount(
  of: Amount,
  limit: Amount,
  origin: Origin,
  concentration?: WrittenQuantity,
): Amount | undefined {
  const lesser = combineAmounts("lesser", of, limit, origin, concentration);
  return lesser && { ...lesser, node: { kind: "capped", of: of.node, limit: limit.node, origin } };
}

/** Rounds in the dimension of the step: a mass rounded down to 1 mL is rounded as a volume. */
export function roundAmount(
  of: Amount,
  step: WrittenQuantity,
  origin: Origin,
  concentration?: WrittenQuantity,
): Amount | undefined {
  const inStep = likeDimension(of, step.unit.dimension, concentration);
  if (!inStep) return undefined;
  const rounded: Amount = {
    node: { kind: "rounded-down", of: of.node, step, origin },
    dimension: step.unit.dimension,
    expression: { kind: "rounded-down", step: inBase(step), of: inStep },
    origin,
  };
  const back = likeDimension(rounded, of.dimension, concentration);
  return back && { ...rounded, dimension: of.dimension, expression: back };
}

/** A share of an amount; the factor is `half`, or a number of percent. */
export function shareAmount(factor: WrittenQuantity | "half", of: Amount, origin: Origin): Amount {
  const share = factor === "half" ? ratio(1, 2) : factor.value.div(100);
  return {
    ...of,
    node: { kind: "share", factor, of: of.node, origin },
    expression: { kind: "scaled", factor: share, of: of.expression },
    origin,
  };
}

export interface BandedRow {
  readonly range: WrittenRange;
  readonly amount: Amount;
  readonly origin: Origin;
}

/** A table by bands of a variable, at least one row; it measures what its first row does. */
export function chooseByBand(
  variable: Variable,
  rows: readonly [BandedRow, ...BandedRow[]],
  origin: Origin,
  concentration?: WrittenQuantity,
): Amount | undefined {
  const { dimension } = rows[0].amount;
  const bands = rows.flatMap(({ range, amount }) => {
    const value = likeDimension(amount, dimension, concentration);
    return value ? [{ range: range.interval, value }] : [];
  });
  if (bands.length < rows.length) return undefined;
  return {
    node: {
      kind: "bands",
      variable,
      rows: rows.map(({ range, amount, origin: place }) => ({ range, amount: amount.node, origin: place })),
      origin,
    },
    dimension,
    expression: { kind: "bands", variable, rows: bands },
    origin,
  };
}

/** The amount's expression in another dimension: the same one, or mass and volume by the concentration. */
export function likeDimension(
  amount: Amount,
  wanted: Dimension,
  concentration: WrittenQuantity | undefined,
): Expression | undefined {
  return massOrVolume(amount, wanted, concentration ? inBase(concentration) : ZERO);
}

/** The same by a concentration in mg/mL; one of zero brings nothing. */
export function massOrVolume(
  amount: Amount,
  wanted: Dimension,
  perMillilitre: Rational,
): Expression | undefined {
  if (sameDimension(amount.dimension, wanted)) return amount.expression;
  const factor = massAndVolumeFactor(amount.dimension, wanted, perMillilitre);
  return factor && { kind: "scaled", factor, of: amount.expression };
}

/** The amount as a mass (mg) and as a volume (mL), where its concentration allows. */
export function massAndVolume(
  amount: Amount | undefined,
  concentration: WrittenQuantity | undefined,
): { mass?: Expression; volume?: Expression } {
  if (!amount) return {};
  const mass = likeDimension(amount, MASS, concentration);
  const volume = likeDimension(amount, VOLUME, concentration);
  return { ...(mass && { mass }), ...(volume && { volume }) };
}

function withoutWeight(dimension: Dimension): Dimension {
  const { weight: _perWeight, ...rest } = dimension;
  return rest;
}

/**
 * Puts an amount, or a part of one, together from what the author wrote. Undefined where the units do not fit
 * together. `concentration` is that of the agent.
 */
export function amountOfNode(
  node: AmountNode,
  concentration: WrittenQuantity | undefined,
): Amount | undefined {
  const inner = (part: AmountNode) => amountOfNode(part, concentration);
  switch (node.kind) {
    case "quantity":
      return quantityAmount(node.quantity);
    case "variable":
      return variableAmount(node.variable, node.origin);
    case "occlusion-pressure": {
      const table = inner(node.of);
      return table && occlusionAmount(table, node.origin);
    }
    case "capped": {
      const of = inner(node.of);
      const limit = inner(node.limit);
      return of && limit && capAmount(of, limit, node.origin, concentration);
    }
    case "rounded-down": {
      const of = inner(node.of);
      return of && roundAmount(of, node.step, node.origin, concentration);
    }
    case "share": {
      const of = inner(node.of);
      return of && shareAmount(node.factor, of, node.origin);
    }
    case "bands":
      return bandsOf(node, concentration);
    case "sum":
    case "difference":
    case "lesser":
    case "greater": {
      const left = inner(node.left);
      const right = inner(node.right);
      return left && right && combineAmounts(node.kind, left, right, node.origin, concentration);
    }
  }
}

function bandsOf(
  node: Extract<AmountNode, { kind: "bands" }>,
  concentration: WrittenQuantity | undefined,
): Amount | undefined {
  const rows = node.rows.flatMap(({ range, amount: part, origin }): BandedRow[] => {
    const amount = amountOfNode(part, concentration);
    return amount ? [{ range, amount, origin }] : [];
  });
  const [first, ...others] = rows;
  if (!first || rows.length < node.rows.length) return undefined;
  return chooseByBand(node.variable, [first, ...others], node.origin, concentration);
}
