import type { AstNode } from "langium";
import { canonicalName } from "../model/spelling.ts";
import { type Lowering, originOfHeading, originOfProperty, report } from "./context.ts";

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
  const origin = originOfProperty(lowering, node, "name");
  report(lowering, {
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
    report(lowering, {
      rule: "name-twice",
      origin: originOfProperty(lowering, node, "name"),
      what: `The name \`${node.name}\`${spelledOtherwise} is declared twice.`,
      label: "declared a second time",
      next: "Give one of the two another name, or remove it.",
      related: [{ origin: originOfProperty(lowering, earlier, "name"), note: "first declared here" }],
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
    const origin = originOfHeading(lowering, node);
    report(lowering, {
      rule: "statement-twice",
      origin,
      what: "This is said twice; only the first is read.",
      label: "said a second time",
      next: "Remove one of the two.",
      related: [{ origin: originOfHeading(lowering, earlier), note: "first said here" }],
    });
  }
}
