import { exactText, ratio } from "@limbwright/shared/quantity";
import type { BandByWeight, Formula, FormulaBandsByWeight } from "@limbwright/shared/rule-file";
import type { AmountBand, AmountNode } from "../model/index.ts";
import { bandFaults } from "../population/index.ts";
import { byLowerEdge } from "../population/interval-order.ts";
import type { Marks } from "./marks.ts";
import { fileQuantity, fileRange } from "./values.ts";

/** An amount as the author built it, with UCUM units and exact numbers. */
export function formulaOf(marks: Marks, node: AmountNode): Formula {
  return marks.at(unmarked(marks, node), node.origin);
}

function unmarked(marks: Marks, node: AmountNode): Formula {
  switch (node.kind) {
    case "quantity":
      return { kind: "quantity", quantity: fileQuantity(node.quantity) };
    case "variable":
      return { kind: "variable", variable: node.variable };
    case "occlusion-pressure":
      return { kind: "occlusion-pressure" };
    case "sum":
    case "difference":
    case "lesser":
    case "greater":
      return { kind: node.kind, left: formulaOf(marks, node.left), right: formulaOf(marks, node.right) };
    case "capped":
      return { kind: "capped", of: formulaOf(marks, node.of), limit: formulaOf(marks, node.limit) };
    case "rounded-down":
      return { kind: "rounded-down", of: formulaOf(marks, node.of), step: fileQuantity(node.step) };
    case "share": {
      const factor = node.factor === "half" ? ratio(1, 2) : node.factor.value.div(100);
      return { kind: "share", factor: exactText(factor), of: formulaOf(marks, node.of) };
    }
    case "bands":
      return bandsOf(marks, node.variable, inOrder(node.rows));
  }
}

/** The schema has a kind of table for each variable, which differ in the units of their ranges only. */
function bandsOf(marks: Marks, variable: string, rows: readonly AmountBand[]): FormulaBandsByWeight {
  const bands = rows.map(
    (row): BandByWeight =>
      marks.at({ range: fileRange(row.range), amount: formulaOf(marks, row.amount) }, row.origin),
  );
  return { kind: "bands", variable: variable as "weight", rows: bands };
}

/** Rows from the lowest up, unless some overlap: then the first counts, and their order is part of the meaning. */
function inOrder(rows: readonly AmountBand[]): readonly AmountBand[] {
  const ranges = rows.map(({ range }) => range.interval);
  if (bandFaults(ranges, {}).overlaps.length > 0) return rows;
  return [...rows].sort((a, b) => byLowerEdge(a.range.interval, b.range.interval));
}
