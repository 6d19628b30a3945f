import type { AstNode } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import { isCuff, isDose, isEmergency, isRoutine, isStage, isTimer } from "../grammar/generated/ast.ts";
import { nodesIn } from "../grammar/nodes.ts";
import { canonicalName } from "../model/spelling.ts";
import type { Lowering } from "./context.ts";

/** The name of a declaration; empty where the text is not finished and has none yet. */
export function nameOf(node: { readonly name?: string }): string {
  return node.name ?? "";
}

/** Reports a declared name that is not in the one accepted form: lower case, digits and hyphens. */
export function checkName(lowering: Lowering, node: AstNode & { readonly name: string }): void {
  if (!node.name || /^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$/.test(node.name)) return;
  const right = node.name
    .replace(/([a-z0-9])([A-Z])/g, "$1-$2")
    .replace(/_+/g, "-")
    .replace(/^-+|-+$/g, "")
    .toLowerCase();
  const origin = lowering.originOfProperty(node, "name");
  lowering.report({
    rule: "name-badly-written",
    origin,
    what: `The name \`${node.name}\` has capitals or underscores.`,
    label: "not in lower case with hyphens",
    next: `Write \`${right}\` here and wherever the name is used.`,
  });
}

/** Reports the second and later of declarations that share a name, each with the first. */
export function checkNamesDiffer(
  lowering: Lowering,
  nodes: readonly (AstNode & { readonly name: string })[],
): void {
  const first = new Map<string, AstNode & { readonly name: string }>();
  for (const node of nodes) {
    if (!node.name) continue;
    const name = canonicalName(node.name);
    const earlier = first.get(name);
    if (!earlier) {
      first.set(name, node);
      continue;
    }
    const spelledOtherwise = earlier.name === node.name ? "" : `, another name of \`${earlier.name}\`,`;
    lowering.report({
      rule: "name-twice",
      origin: lowering.originOfProperty(node, "name"),
      what: `The name \`${node.name}\`${spelledOtherwise} is declared twice.`,
      label: "declared a second time",
      next: "Give one of the two another name, or remove it.",
      related: [{ origin: lowering.originOfProperty(earlier, "name"), note: "first declared here" }],
    });
  }
}

/** Reports the second and later of statements of one kind, but for the kinds that may repeat. */
export function onlyOnce(
  lowering: Lowering,
  nodes: readonly AstNode[],
  repeatable: ReadonlySet<string>,
): void {
  const first = new Map<string, AstNode>();
  for (const node of nodes) {
    if (repeatable.has(node.$type)) continue;
    const earlier = first.get(node.$type);
    if (!earlier) {
      first.set(node.$type, node);
      continue;
    }
    lowering.reportTwice("This", lowering.originOfHeading(node), lowering.originOfHeading(earlier));
  }
}

/** The names a protocol declares, by kind; for suggestions where a name is unknown. */
export interface Names {
  readonly cuffs: readonly string[];
  readonly doses: readonly string[];
  readonly timers: readonly string[];
  readonly stages: readonly string[];
  readonly emergencies: readonly string[];
  readonly routines: readonly string[];
}

/** Everything named inside a protocol, in the order of the text. */
export function declarationsIn(node: ast.Protocol) {
  const all = nodesIn(node);
  return {
    cuffs: all.filter(isCuff),
    doses: all.filter(isDose),
    timers: all.filter(isTimer),
    stages: all.filter(isStage),
    emergencies: all.filter(isEmergency),
    routines: all.filter(isRoutine),
  };
}

export function namesOf(
  declarations: ReturnType<typeof declarationsIn>,
  routinesOfFiles: readonly string[],
): Names {
  const names = (nodes: readonly { readonly name: string }[]) => nodes.map(nameOf);
  return {
    cuffs: names(declarations.cuffs),
    doses: names(declarations.doses),
    timers: names(declarations.timers),
    stages: names(declarations.stages),
    emergencies: names(declarations.emergencies),
    routines: [...names(declarations.routines), ...routinesOfFiles],
  };
}
