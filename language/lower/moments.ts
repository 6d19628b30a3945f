import type * as ast from "../grammar/generated/ast.ts";
import type { Moment } from "../model/index.ts";
import { type Lowering, originOf, resolve } from "./context.ts";
import type { Names } from "./protocol-names.ts";

/** Reads "end of local", "first inflation", "release". Undefined where the dose or stage is unknown. */
export function momentOf(lowering: Lowering, node: ast.Moment | undefined, names: Names): Moment | undefined {
  if (!node) return undefined;
  const origin = originOf(lowering, node);
  if (node.$type === "FirstInflation") return { kind: "first-inflation", origin };
  if (node.$type === "Release") return { kind: "release", origin };
  const target = resolve(lowering, node, "target", node.target, "dose or stage", () => [
    ...names.doses,
    ...names.stages,
  ]);
  if (!target || !node.edge) return undefined;
  return {
    kind: node.edge,
    target: target.name,
    targetKind: target.$type === "Dose" ? "dose" : "stage",
    origin,
  };
}
