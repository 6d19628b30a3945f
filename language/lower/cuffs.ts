import { LENGTH, PRESSURE } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { type CuffSet, PLACES } from "../model/index.ts";
import { amountOf } from "./amounts.ts";
import { checkWord, type Lowering, originOf, originOfHeading, originOfProperty, report } from "./context.ts";
import { checkName, nameOf, onlyOnce } from "./names.ts";
import { quantityOf } from "./quantities.ts";
import { rangeOf } from "./ranges.ts";

const REPEATABLE = new Set(["Unknown"]);

export function cuffsOf(lowering: Lowering, node: ast.Cuffs): CuffSet {
  onlyOnce(lowering, node.entries, REPEATABLE);
  for (const cuff of node.cuffs) checkName(lowering, cuff);
  if (node.cuffs.length > 2) reportThirdCuff(lowering, node);
  const one = <T extends ast.CuffEntry["$type"]>(type: T) =>
    node.entries.find((entry): entry is Extract<ast.CuffEntry, { $type: T }> => entry.$type === type);
  const setting = { lowering, expected: [PRESSURE] };
  const occlusion = amountOf({ ...setting, place: "`occlusion`" }, one("OcclusionTable")?.table);
  const pressure = amountOf(
    { ...setting, ...(occlusion && { occlusion }), place: "`pressure`" },
    one("CuffPressure")?.amount,
  );
  const ceiling = quantityOf(lowering, one("CuffCeiling")?.limit, [PRESSURE], "`ceiling`");
  const fits = rangeOf(lowering, one("CuffFit")?.range, LENGTH, "`fits`");
  const placeOrigin = originOfProperty(lowering, node, "place");
  const place = node.place
    ? checkWord(lowering, placeOrigin, node.place, PLACES, "a place for a cuff")
    : undefined;
  return {
    origin: originOfHeading(lowering, node),
    cuffs: node.cuffs.map((cuff) => ({
      name: nameOf(cuff),
      ...(cuff.label !== undefined && { label: cuff.label }),
      origin: originOf(lowering, cuff),
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
  report(lowering, {
    rule: "value-out-of-range",
    origin: originOf(lowering, third),
    what: "A protocol has one cuff or two, the proximal one first.",
    label: "a third cuff",
    next: "Keep the two that are used.",
  });
}
