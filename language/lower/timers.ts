import { inBase, quantityText } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import type { Moment, Timer, WrittenQuantity } from "../model/index.ts";
import type { Lowering } from "./context.ts";
import { checkName, type Names, nameOf } from "./names.ts";
import { reportContradiction, timeOf } from "./quantities.ts";

export function timerOf(lowering: Lowering, node: ast.Timer, names: Names): Timer {
  checkName(lowering, node);
  const from = momentOf(lowering, node.event, names);
  const atLeast = boundOf(lowering, node, "least");
  const atMost = boundOf(lowering, node, "most");
  if (atLeast && atMost && inBase(atLeast).compare(inBase(atMost)) > 0) {
    reportContradiction(
      lowering,
      lowering.originOfHeading(node),
      `\`${node.name}\` says at least ${quantityText(atLeast)} and at most ${quantityText(atMost)}: no time is both.`,
    );
  }
  return {
    name: nameOf(node),
    origin: lowering.originOfHeading(node),
    nameOrigin: lowering.originOfProperty(node, "name"),
    ...(from && { from }),
    ...(atLeast && { atLeast }),
    ...(atMost && { atMost }),
  };
}

function boundOf(lowering: Lowering, node: ast.Timer, kind: "least" | "most"): WrittenQuantity | undefined {
  const [bound, second] = nodesOfType(node.bounds, "TimerBound").filter((one) => one.kind === kind);
  if (bound && second) {
    lowering.reportTwice(`\`at ${kind}\``, lowering.originOf(second), lowering.originOf(bound));
  }
  return timeOf(lowering, bound?.limit, `\`at ${kind}\``);
}

/** Reads "end of local", "first inflation", "release". Undefined where the dose or stage is unknown. */
export function momentOf(lowering: Lowering, node: ast.Moment | undefined, names: Names): Moment | undefined {
  if (!node) return undefined;
  const origin = lowering.originOf(node);
  if (node.$type === "FirstInflation") return { kind: "first-inflation", origin };
  if (node.$type === "Release") return { kind: "release", origin };
  const target = lowering.resolve(node, "target", "dose or stage", () => [...names.doses, ...names.stages]);
  if (!target || !node.edge) return undefined;
  return {
    kind: node.edge,
    target: target.name,
    targetKind: target.$type === "Dose" ? "dose" : "stage",
    origin,
  };
}
