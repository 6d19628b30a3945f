import { quantityText } from "@limbwright/shared/quantity";
import type { AmountNode } from "../model/index.ts";
import { rangeText } from "../population/index.ts";

/** An amount in the words of the language: "3 mg/kg up to 200 mg". */
export function amountWords(node: AmountNode): string {
  switch (node.kind) {
    case "quantity":
      return quantityText(node.quantity);
    case "variable":
      return node.variable;
    case "occlusion-pressure":
      return "occlusion-pressure";
    case "sum":
      return `${amountWords(node.left)} + ${amountWords(node.right)}`;
    case "difference":
      return `${amountWords(node.left)} - ${amountWords(node.right)}`;
    case "lesser":
    case "greater":
      return `${node.kind} of ${amountWords(node.left)} and ${amountWords(node.right)}`;
    case "capped":
      return `${amountWords(node.of)} up to ${amountWords(node.limit)}`;
    case "rounded-down":
      return `${amountWords(node.of)} rounded down to ${quantityText(node.step)}`;
    case "share":
      return `${node.factor === "half" ? "half" : quantityText(node.factor)} of ${amountWords(node.of)}`;
    case "bands": {
      const rows = node.rows.map(
        ({ range, amount }) => `${rangeText(range.interval, range.unit)}: ${amountWords(amount)}`,
      );
      return `by ${node.variable}: ${rows.join("; ")}`;
    }
  }
}
