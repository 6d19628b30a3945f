import type { Amount, AmountNode } from "./amount.ts";
import {
  type BandedRow,
  capAmount,
  chooseByBand,
  combineAmounts,
  occlusionAmount,
  quantityAmount,
  roundAmount,
  shareAmount,
  variableAmount,
} from "./amount-arithmetic.ts";
import type { WrittenQuantity } from "./written.ts";

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
