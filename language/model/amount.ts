import type { Origin } from "@limbwright/shared/finding";
import type { Dimension } from "@limbwright/shared/quantity";
import type { Expression, Variable } from "../population/expression.ts";
import type { WrittenQuantity, WrittenRange } from "./written.ts";

/**
 * An amount as the author built it. Everything is kept: the analyses read `expressionOf` (a function of
 * the patient, in base units), the sheet and the rule file print this.
 *
 * `quantity` may be per weight (mg/kg, mL/kg); it then stands for that much for each kilogram.
 */
export type AmountNode =
  | { readonly kind: "quantity"; readonly quantity: WrittenQuantity; readonly origin: Origin }
  | { readonly kind: "variable"; readonly variable: Variable; readonly origin: Origin }
  | { readonly kind: "occlusion-pressure"; readonly of: AmountNode; readonly origin: Origin }
  | {
      readonly kind: "sum" | "difference";
      readonly left: AmountNode;
      readonly right: AmountNode;
      readonly origin: Origin;
    }
  | {
      readonly kind: "lesser" | "greater";
      readonly left: AmountNode;
      readonly right: AmountNode;
      readonly origin: Origin;
    }
  | { readonly kind: "capped"; readonly of: AmountNode; readonly limit: AmountNode; readonly origin: Origin }
  | {
      readonly kind: "rounded-down";
      readonly of: AmountNode;
      readonly step: WrittenQuantity;
      readonly origin: Origin;
    }
  | {
      readonly kind: "share";
      readonly factor: WrittenQuantity | "half";
      readonly of: AmountNode;
      readonly origin: Origin;
    }
  | {
      readonly kind: "bands";
      readonly variable: Variable;
      readonly rows: readonly AmountBand[];
      readonly origin: Origin;
    };

export interface AmountBand {
  readonly range: WrittenRange;
  readonly amount: AmountNode;
  readonly origin: Origin;
}

/** An amount whose units fit together. */
export interface Amount {
  readonly node: AmountNode;
  /** What it measures once the patient's weight is put in: mass, volume, a rate of one, or pressure. */
  readonly dimension: Dimension;
  /** The same as a function of the patient, in base units of `dimension`. */
  readonly expression: Expression;
  readonly origin: Origin;
}

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
