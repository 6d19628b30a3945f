import { inBase, quantityText } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import type { Timer, WrittenQuantity } from "../model/index.ts";
import { type Lowering, originOf, originOfHeading, originOfProperty, report } from "./context.ts";
import { momentOf } from "./moments.ts";
import { checkName, nameOf } from "./names.ts";
import type { Names } from "./protocol-names.ts";
import { reportContradiction, timeOf } from "./quantities.ts";

export function timerOf(lowering: Lowering, node: ast.Timer, names: Names): Timer {
  checkName(lowering, node);
  const from = momentOf(lowering, node.event, names);
  const atLeast = boundOf(lowering, node, "least");
  const atMost = boundOf(lowering, node, "most");
  if (atLeast && atMost && inBase(atLeast).compare(inBase(atMost)) > 0) {
    reportContradiction(
      lowering,
      originOfHeading(lowering, node),
      `\`${node.name}\` says at least ${quantityText(atLeast)} and at most ${quantityText(atMost)}: no time is both.`,
    );
  }
  return {
    name: nameOf(node),
    origin: originOfHeading(lowering, node),
    nameOrigin: originOfProperty(lowering, node, "name"),
    ...(from && { from }),
    ...(atLeast && { atLeast }),
    ...(atMost && { atMost }),
  };
}

function boundOf(lowering: Lowering, node: ast.Timer, kind: "least" | "most"): WrittenQuantity | undefined {
  const bounds = node.bounds.filter(
    (bound): bound is ast.TimerBound => bound.$type === "TimerBound" && bound.kind === kind,
  );
  const second = bounds[1];
  if (bounds[0] && second) {
    report(lowering, {
      rule: "statement-twice",
      origin: originOf(lowering, second),
      what: `\`at ${kind}\` is said twice; only the first is read.`,
      label: "said a second time",
      next: "Remove one of the two.",
      related: [{ origin: originOf(lowering, bounds[0]), note: "first said here" }],
    });
  }
  return timeOf(lowering, bounds[0]?.limit, `\`at ${kind}\``);
}
