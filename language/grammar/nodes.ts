import type { AstNode } from "langium";

/**
 * Every node inside another, in the order of the text: gathered at once, since trees are gone through at every key, and
 * without recursion, since a hostile text makes deep ones.
 */
export function nodesIn(root: AstNode): AstNode[] {
  const found: AstNode[] = [];
  const waiting = [root];
  for (let node = waiting.pop(); node; node = waiting.pop()) {
    if (node !== root) found.push(node);
    const first = waiting.length;
    addChildren(node, waiting);
    reverseFrom(waiting, first);
  }
  return found;
}

/** Those of some nodes that are of one type of the grammar. */
export function nodesOfType<N extends AstNode, T extends N["$type"]>(nodes: readonly N[], type: T) {
  return nodes.filter((node): node is Extract<N, { $type: T }> => node.$type === type);
}

/** The lists of the grammar whose members are statements: each starts a line. */
const STATEMENT_LISTS = new Set([
  "elements",
  "properties",
  "sections",
  "entries",
  "bounds",
  "steps",
  "handlers",
  "members",
  "rows",
  "lines",
]);

/** `items` are the lines of `prepare`, but elsewhere the members of a list. */
export function isStatement({ $containerProperty: list = "", $container }: AstNode): boolean {
  return STATEMENT_LISTS.has(list) || (list === "items" && $container?.$type === "Prepare");
}

function addChildren(node: AstNode, children: AstNode[]): void {
  for (const name in node) {
    if (name.startsWith("$")) continue;
    const value: unknown = (node as unknown as Record<string, unknown>)[name];
    if (Array.isArray(value)) for (const one of value) addNode(one, children);
    else addNode(value, children);
  }
}

function addNode(value: unknown, children: AstNode[]): void {
  if (typeof value !== "object" || value === null || !("$type" in value)) return;
  if (typeof value.$type === "string") children.push(value as AstNode);
}

function reverseFrom(list: AstNode[], first: number): void {
  for (let low = first, high = list.length - 1; low < high; low++, high--) {
    const one = list[low] as AstNode;
    list[low] = list[high] as AstNode;
    list[high] = one;
  }
}
