import type { Cell } from "../../../language/population/cell.ts";
import { type Box, type Expression, type Region, variablesOf } from "../../../language/population/index.ts";
import { decide, type Limits, type NotDecided } from "../../../language/population/limits.ts";
import { domain, expand } from "../../../language/population/pieces.ts";
import { regionsOf } from "../../../language/population/region.ts";

/** The patients of the box for whom the expression has no value. */
export function findUndefined(
  expression: Expression,
  box: Box,
  limits: Limits = {},
): { readonly kind: "regions"; readonly regions: readonly Region[] } | NotDecided {
  return decide(limits, (work) => {
    const without: Cell[] = [];
    const covered = domain(box, variablesOf(expression));
    const pieces = expand(expression, covered, { work, without });
    const others = pieces.map(({ cell }) => cell);
    return { kind: "regions", regions: regionsOf(without, others, covered, work) };
  });
}
