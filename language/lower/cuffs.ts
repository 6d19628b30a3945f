import { LENGTH, PRESSURE } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import { type CuffSet, PLACES } from "../model/index.ts";
import { amountOf } from "./amounts.ts";
import type { Lowering } from "./context.ts";
import { checkName, nameOf, onlyOnce } from "./names.ts";
import { quantityOf, rangeOf } from "./quantities.ts";

const REPEATABLE = new Set(["Unknown"]);

export function cuffsOf(lowering: Lowering, node: ast.Cuffs): CuffSet {
  onlyOnce(lowering, node.entries, REPEATABLE);
  for (const cuff of node.cuffs) checkName(lowering, cuff);
  if (node.cuffs.length > 2) reportThirdCuff(lowering, node);
  const setting = { lowering, expected: [PRESSURE] };
  const occlusion = amountOf(
    { ...setting, place: "`occlusion`" },
    nodesOfType(node.entries, "OcclusionTable")[0]?.table,
  );
  const pressure = amountOf(
    { ...setting, ...(occlusion && { occlusion }), place: "`pressure`" },
    nodesOfType(node.entries, "CuffPressure")[0]?.amount,
  );
  const ceiling = quantityOf(
    lowering,
    nodesOfType(node.entries, "CuffCeiling")[0]?.limit,
    [PRESSURE],
    "`ceiling`",
  );
  const fits = rangeOf(lowering, nodesOfType(node.entries, "CuffFit")[0]?.range, LENGTH, "`fits`");
  const placeOrigin = lowering.originOfProperty(node, "place");
  const place = node.place
    ? lowering.checkWord(placeOrigin, node.place, PLACES, "a place for a cuff")
    : undefined;
  return {
    origin: lowering.originOfHeading(node),
    cuffs: node.cuffs.map((cuff) => ({
      name: nameOf(cuff),
      ...(cuff.label !== undefined && { label: cuff.label }),
      origin: lowering.originOf(cuff),
    })),
    ...(place && { place: { value: place, origin: placeOrigin } }),
    ...(pressure && { pressure }),
    ...(ceiling && { ceiling }),
    ...(fits && { fits }),
    ...(occlusion && { occlusion }),
  };
}

function reportThirdCuff(lowering: Lowering, node: ast.Cuffs): void {
  const third = node.cuffs[2];
  if (!third) return;
  lowering.report({
    rule: "value-out-of-range",
    origin: lowering.originOf(third),
    what: "A protocol has one cuff or two, the proximal one first.",
    label: "a third cuff",
    next: "Keep the two that are used.",
  });
}
