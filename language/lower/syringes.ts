import { inBase, VOLUME } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import type { Syringe } from "../model/index.ts";
import type { Lowering } from "./context.ts";
import { quantityOf } from "./quantities.ts";

/** What a dose, or any dose of a drug, is drawn up in; undefined where its marks cannot be so. */
export function syringeOf(lowering: Lowering, node: ast.Syringe | undefined): Syringe | undefined {
  const volume = quantityOf(lowering, node?.volume, [VOLUME], "`syringe`");
  const mark = quantityOf(lowering, node?.mark, [VOLUME], "`marked every`");
  if (!node || !volume || !mark) return undefined;
  const origin = lowering.originOf(node);
  const isOverZero = inBase(mark).compare(0) > 0;
  if (isOverZero && inBase(volume).div(inBase(mark)).d === 1n) return { volume, mark, origin };
  lowering.report({
    rule: "value-out-of-range",
    origin: mark.origin,
    what: isOverZero
      ? "The marks of a syringe divide what it holds into equal parts; these do not."
      : "The marks of a syringe are some distance apart.",
    label: "no such marks",
    next: "Write what stands on the syringe, such as `syringe 1 mL marked every 0.01 mL`.",
  });
  return undefined;
}
