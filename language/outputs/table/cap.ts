import { contains, quantityText } from "@limbwright/shared/quantity";
import { type AmountNode, amountOfNode, type WrittenQuantity } from "../../model/index.ts";
import { evaluate, type Patient } from "../../population/index.ts";

/** The cap that holds an amount down for a patient, in words; undefined where none does. */
export function capInForce(
  node: AmountNode,
  patient: Patient,
  concentration: WrittenQuantity | undefined,
): string | undefined {
  const inner = (part: AmountNode) => capInForce(part, patient, concentration);
  switch (node.kind) {
    case "capped": {
      const before = inner(node.of);
      const isHeld = isLess(node, node.of, patient, concentration);
      return isHeld ? limitText(node.limit) : before;
    }
    case "rounded-down":
    case "share":
      return inner(node.of);
    case "lesser":
      return inner(isLess(node, node.left, patient, concentration) ? node.right : node.left);
    case "greater":
      return inner(isLess(node.left, node, patient, concentration) ? node.right : node.left);
    case "bands": {
      const value = patient[node.variable];
      const row = value && node.rows.find(({ range }) => contains(range.interval, value));
      return row && inner(row.amount);
    }
    case "quantity":
    case "variable":
    case "occlusion-pressure":
    case "sum":
    case "difference":
      return undefined;
  }
}

function limitText(limit: AmountNode): string {
  return limit.kind === "quantity" ? quantityText(limit.quantity) : "its cap";
}

/** Whether one part gives a patient less than another. */
function isLess(
  one: AmountNode,
  other: AmountNode,
  patient: Patient,
  concentration: WrittenQuantity | undefined,
): boolean {
  const amounts = [amountOfNode(one, concentration), amountOfNode(other, concentration)];
  const [left, right] = amounts.map((amount) => amount && evaluate(amount.expression, patient));
  return left !== undefined && right !== undefined && left.compare(right) < 0;
}
