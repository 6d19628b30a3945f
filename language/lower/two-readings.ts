import type { Origin, Repair } from "@limbwright/shared/finding";
import { AstUtils } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import type { Lowering } from "./context.ts";

/**
 * Amounts that two people read in two ways, `A up to B + C` above all: they are read as the grammar has them, and reported until
 * parentheses say which is meant.
 */
export function checkReadings(lowering: Lowering, node: ast.Amount): void {
  switch (node.$type) {
    case "Capped":
      checkLimit(lowering, node);
      checkBefore(lowering, node);
      return;
    case "Rounded":
      checkBefore(lowering, node);
      return;
    case "Sum":
      checkShare(lowering, node);
      return;
    case "Literal":
    case "VariableUse":
    case "GluedMinus":
    case "Choice":
    case "Factor":
    case "BandTable":
      return;
  }
}

/** `A up to B + C`: the cap may end before the plus or behind it. */
function checkLimit(lowering: Lowering, node: ast.Capped): void {
  const { of, limit } = node;
  if (!isOpenSum(limit) || !of) return;
  const first = firstTerm(limit);
  report(lowering, node, [
    [inner(of), inner(first)],
    [inner(limit), inner(limit)],
  ]);
}

/**
 * `A + B up to C`: what is capped, or rounded, may be the sum or its last part. Nobody caps or rounds a plain number, so where the last
 * part is one, or a measure of the patient, only the sum can be meant.
 */
function checkBefore(lowering: Lowering, node: ast.Capped | ast.Rounded): void {
  const { of } = node;
  if (!isOpenSum(of) || isPlain(of.right)) return;
  report(lowering, node, [
    [inner(of), inner(of)],
    [inner(of.right), inner(node)],
  ]);
}

/** `half of A + B`: the half may be of the sum. */
function checkShare(lowering: Lowering, node: ast.Sum): void {
  const { left, right } = node;
  const last = isOpenSum(left) ? left.right : left;
  if (last?.$type !== "Factor" || isInParentheses(last) || !last.of || !right) return;
  report(lowering, node, [
    [inner(last), inner(last)],
    [inner(last.of), inner(right)],
  ]);
}

function firstTerm(sum: ast.Sum): ast.Amount {
  return isOpenSum(sum.left) ? firstTerm(sum.left) : sum.left;
}

function isOpenSum(node: ast.Amount | undefined): node is ast.Sum {
  return (
    node?.$type === "Sum" && node.left !== undefined && node.right !== undefined && !isInParentheses(node)
  );
}

function isPlain(node: ast.Amount): boolean {
  if (isInParentheses(node)) return true;
  return node.$type === "VariableUse" || (node.$type === "Literal" && !node.measured?.text?.includes("/"));
}

interface Span {
  readonly start: number;
  readonly end: number;
}

function inner({ $cstNode }: ast.Amount): Span {
  return { start: $cstNode?.offset ?? 0, end: $cstNode?.end ?? 0 };
}

/** Whether the parenthesis that opens an amount closes at its end. */
function isInParentheses({ $cstNode }: ast.Amount): boolean {
  const text = $cstNode?.text ?? "";
  if (!text.startsWith("(")) return false;
  let depth = 0;
  for (let at = 0; at < text.length; at += 1) {
    if (text[at] === "(") depth += 1;
    if (text[at] === ")") depth -= 1;
    if (depth === 0) return at === text.length - 1;
  }
  return false;
}

/** One reading: from which node to which its parentheses go. */
type Reading = readonly [from: Span, to: Span];

function report(lowering: Lowering, node: ast.Amount, readings: readonly Reading[]): void {
  const origin = lowering.originOf(node);
  const document = AstUtils.getDocument(node);
  const text = document.textDocument.getText();
  const written = readings.map(([from, to]) => {
    const parts = [text.slice(origin.start.offset, from.start), text.slice(from.start, to.end)];
    return `${parts[0]}(${parts[1]})${text.slice(to.end, origin.end.offset)}`;
  });
  const [first = "", second = ""] = written;
  lowering.report({
    rule: "amount-read-in-two-ways",
    origin,
    what: `\`${oneLine(text.slice(origin.start.offset, origin.end.offset))}\` can be read as \`${oneLine(first)}\` and as \`${oneLine(second)}\`.`,
    label: "which of the two?",
    next: "Put parentheses around what belongs together.",
    repairs: written.map((words) => repair(origin, words)),
  });
}

function repair(origin: Origin, text: string): Repair {
  return { title: `Write ${oneLine(text)}`, safety: "needs-a-look", changes: [{ origin, text }] };
}

/** Without line breaks and comments. */
function oneLine(text: string): string {
  return text.replace(/\/\/.*$/gm, "").replace(/\s+/g, " ");
}
