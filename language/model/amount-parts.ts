import type { AmountNode } from "./amount.ts";

/** The amounts an amount is built from; none for a quantity or a variable. */
export function partsOfAmount(node: AmountNode): readonly AmountNode[] {
  switch (node.kind) {
    case "quantity":
    case "variable":
      return [];
    case "sum":
    case "difference":
    case "lesser":
    case "greater":
      return [node.left, node.right];
    case "capped":
      return [node.of, node.limit];
    case "occlusion-pressure":
    case "rounded-down":
    case "share":
      return [node.of];
    case "bands":
      return node.rows.map((row) => row.amount);
  }
}

/** Whether an amount looks up the hospital's own table of occlusion pressures, anywhere inside it. */
export function usesOcclusionPressure(node: AmountNode): boolean {
  return node.kind === "occlusion-pressure" || partsOfAmount(node).some(usesOcclusionPressure);
}
