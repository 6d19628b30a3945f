import { type Dimension, type Quantity, ratio, sameDimension } from "@limbwright/shared/quantity";
import type { AmountNode } from "../../model/index.ts";
import { isPerWeight } from "../../rules/facts/maximum.ts";
import { quantityOf } from "./quantities.ts";
import type { Quantity as FhirQuantity } from "./resources.ts";

/** An amount as a dosage can say it: so much, for each kilogram where the unit says so, and never more than a cap. */
export interface SayableAmount {
  readonly dose: FhirQuantity;
  readonly cap?: FhirQuantity;
}

/**
 * The amount in the elements of a dosage; undefined where they cannot say exactly this. Nothing is approximated: a dose that
 * is rounded down, added up or looked up stands in words.
 */
export function sayableAmount(node: AmountNode): SayableAmount | undefined {
  const plain = plainQuantity(node);
  if (plain) return sayable(plain, undefined);
  if (node.kind !== "capped" && node.kind !== "lesser") return undefined;
  const [one, other] = node.kind === "capped" ? [node.of, node.limit] : [node.left, node.right];
  const [first, second] = [plainQuantity(one), plainQuantity(other)];
  if (!first || !second) return undefined;
  const [dose, cap] =
    isPerWeight(second.unit.dimension) && node.kind === "lesser" ? [second, first] : [first, second];
  const isCap = isPerWeight(dose.unit.dimension) && !isPerWeight(cap.unit.dimension);
  return isCap && sameDimension(withoutWeight(dose.unit.dimension), cap.unit.dimension)
    ? sayable(dose, cap)
    : undefined;
}

function sayable(dose: Quantity, cap: Quantity | undefined): SayableAmount | undefined {
  const [said, most] = [quantityOf(dose), cap && quantityOf(cap)];
  if (!said || (cap && !most)) return undefined;
  return { dose: said, ...(most && { cap: most }) };
}

/** A quantity, or a share of one. */
function plainQuantity(node: AmountNode): Quantity | undefined {
  if (node.kind === "quantity") return node.quantity;
  if (node.kind !== "share") return undefined;
  const of = plainQuantity(node.of);
  const factor = node.factor === "half" ? ratio(1, 2) : node.factor.value.div(100);
  return of && { value: of.value.mul(factor), unit: of.unit };
}

function withoutWeight({ weight: _, ...rest }: Dimension): Dimension {
  return rest;
}
