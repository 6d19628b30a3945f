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
  type AmountBand,
  type AmountNode,
  amountOfNode,
  type WrittenQuantity,
} from "../../model/index.ts";
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
  const amount = amountOfNode(nodeFrom(context, formula, path), context.concentration);
  if (!amount) throw new Senseless(`the units in ${path} do not fit together`);
  if (expected.some((dimension) => sameDimension(dimension, amount.dimension))) return amount;
  throw new Senseless(`${path} is ${dimensionName(amount.dimension)}`);
}

function nodeFrom(context: FormulaContext, formula: Formula, path: string): AmountNode {
  const origin = context.places.at(path);
  const inner = (key: "left" | "right" | "of" | "limit", part: Formula) =>
    nodeFrom(context, part, pointer(path, key));
  switch (formula.kind) {
    case "quantity":
      return { kind: formula.kind, quantity: quantityFrom(formula.quantity, origin), origin };
    case "variable":
      return { kind: formula.kind, variable: formula.variable, origin };
    case "occlusion-pressure": {
      if (!context.occlusion) throw new Senseless(`${path} needs a table of occlusion pressures`);
      return { kind: formula.kind, of: context.occlusion.node, origin };
    }
    case "capped":
      return {
        kind: formula.kind,
        of: inner("of", formula.of),
        limit: inner("limit", formula.limit),
        origin,
      };
    case "rounded-down": {
      const step = quantityFrom(formula.step, origin);
      if (step.value.compare(0) <= 0)
        throw new Senseless(`${path} is rounded to a step that is not over zero`);
      return { kind: formula.kind, of: inner("of", formula.of), step, origin };
    }
    case "share": {
      const factor = rational(formula.factor);
      const percent = { value: factor.mul(100), unit: requiredUnit("%"), origin };
      const half = factor.mul(2).equals(1);
      return { kind: formula.kind, factor: half ? "half" : percent, of: inner("of", formula.of), origin };
    }
    case "bands": {
      const rows = formula.rows.map((row, index) => bandFrom(context, row, `${path}/rows/${index}`));
      return { kind: formula.kind, variable: formula.variable, rows, origin };
    }
    case "sum":
    case "difference":
    case "lesser":
    case "greater":
      return {
        kind: formula.kind,
        left: inner("left", formula.left),
        right: inner("right", formula.right),
        origin,
      };
  }
}

type Band = Extract<Formula, { kind: "bands" }>["rows"][number];

function bandFrom(context: FormulaContext, { range, amount }: Band, path: string): AmountBand {
  const origin = context.places.at(path);
  return {
    range: rangeFrom(range, origin),
    amount: nodeFrom(context, amount, pointer(path, "amount")),
    origin,
  };
}
