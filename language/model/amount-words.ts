import { quantityText } from "@limbwright/shared/quantity";
import { rangeText } from "../population/range-text.ts";
import type { AmountNode } from "./amount.ts";

/** An amount in the words of the language: "lesser of 80 % of 4 mg/kg and 100 mL". Nothing is rounded. */
export function amountWords(node: AmountNode): string {
  switch (node.kind) {
    case "quantity":
      return quantityText(node.quantity);
    case "variable":
      return node.variable;
    case "occlusion-pressure":
      return "occlusion pressure";
    case "sum":
    case "difference":
      return `${wordsOfPart(node.left)} ${node.kind === "sum" ? "+" : "-"} ${wordsOfPart(node.right)}`;
    case "lesser":
    case "greater":
      return `${node.kind} of ${wordsOfPart(node.left)} and ${wordsOfPart(node.right)}`;
    case "capped":
      return `${wordsOfPart(node.of)} up to ${wordsOfPart(node.limit)}`;
    case "rounded-down":
      return `${wordsOfPart(node.of)} rounded down to ${quantityText(node.step)}`;
    case "share":
      return `${node.factor === "half" ? "half" : quantityText(node.factor)} of ${wordsOfPart(node.of)}`;
    case "bands": {
      const rows = node.rows.map(({ range, amount }) => {
        return `${rangeText(range.interval, range.unit)}: ${wordsOfPart(amount)}`;
      });
      return `by ${node.variable}: ${rows.join("; ")}`;
    }
  }
}

/** A part that is itself put together stands in parentheses where it could be read in two ways. */
function wordsOfPart(node: AmountNode): string {
  const words = amountWords(node);
  return IN_PARENTHESES.has(node.kind) ? `(${words})` : words;
}

const IN_PARENTHESES: ReadonlySet<AmountNode["kind"]> = new Set([
  "sum",
  "difference",
  "lesser",
  "greater",
  "capped",
  "rounded-down",
  "bands",
]);
