import type { Origin } from "@limbwright/shared/finding";
import {
  type AstNode,
  AstUtils,
  type CstNode,
  GrammarUtils,
  type LangiumDocument,
  type Reference,
  type URI,
} from "langium";
import { isDose, isProtocol } from "../grammar/generated/ast.ts";
import { nodesIn } from "../grammar/nodes.ts";
import type { Agent, LocalRules, Problem } from "../model/index.ts";
import { canonicalName, closestName } from "../model/spelling.ts";

/** What the lowering of a set of files shares: where problems go, and what is lowered already. */
export interface Lowering {
  readonly problems: Problem[];
  readonly fileOf: (uri: URI) => string;
  /** Agents and local rules by their node, lowered once however many protocols use them. */
  readonly agents: LoweredOnce<Agent>;
  readonly localRules: LoweredOnce<LocalRules>;
  /** Counts what was left out because it could not be understood: what is absent then proves nothing. */
  readonly gaps: { count: number };
  /** Words that stand in statements that were not understood, by file: a name among them is not missing. */
  readonly unreadWords: (document: LangiumDocument) => ReadonlySet<string>;
}

/** What several files share, by its node, with what was wrong in it: its own file reports that, read first or last. */
export type LoweredOnce<T> = WeakMap<AstNode, { readonly value: T; readonly problems: readonly Problem[] }>;

export function lowerOnce<T>(
  lowering: Lowering,
  known: LoweredOnce<T>,
  node: AstNode,
  lower: (own: Lowering) => T,
): { readonly value: T; readonly problems: readonly Problem[] } {
  const earlier = known.get(node);
  if (earlier) return earlier;
  const problems: Problem[] = [];
  const once = { value: lower({ ...lowering, problems, gaps: { count: 0 } }), problems };
  known.set(node, once);
  return once;
}

export function report(lowering: Lowering, problem: Problem): void {
  lowering.problems.push(problem);
}

/**
 * Whether something inside was left out while `lower` worked; in a syntax tree that was read well it is
 * because of a name, a word or a value that could not be understood.
 */
export function withGaps<T>(
  lowering: Lowering,
  lower: () => T,
): { readonly value: T; readonly gaps: boolean } {
  const before = lowering.gaps.count;
  const value = lower();
  return { value, gaps: lowering.gaps.count > before };
}

/** Whether one of some statements was not understood: another that seems to be missing may be that one. */
export function hasUnread(statements: readonly AstNode[]): boolean {
  return statements.some((statement) => statement.$type === "Unknown");
}

/** Where a node is written. A node the parser filled in without text has the place of its container. */
export function originOf(lowering: Lowering, node: AstNode): Origin {
  let holder: AstNode | undefined = node;
  while (holder && !holder.$cstNode) holder = holder.$container;
  return originOfCst(lowering, AstUtils.getDocument(node), holder?.$cstNode);
}

/** Where a property of a node is written; where the whole node is, when the property has no text. */
export function originOfProperty(
  lowering: Lowering,
  node: AstNode,
  property: string,
  index?: number,
): Origin {
  const found = GrammarUtils.findNodeForProperty(node.$cstNode, property, index);
  return found ? originOfCst(lowering, AstUtils.getDocument(node), found) : originOf(lowering, node);
}

/** Where a word of the language stands in a node; the whole node when it is not there. */
export function originOfKeyword(lowering: Lowering, node: AstNode, keyword: string): Origin {
  const found = GrammarUtils.findNodeForKeyword(node.$cstNode, keyword);
  return found ? originOfCst(lowering, AstUtils.getDocument(node), found) : originOf(lowering, node);
}

/** The first line of a node, without the brace that opens its block: enough to point at a section. */
export function originOfHeading(lowering: Lowering, node: AstNode): Origin {
  const whole = originOf(lowering, node);
  const document = AstUtils.getDocument(node);
  const text = document.textDocument.getText();
  const line = /[^\r\n{]*/y;
  line.lastIndex = whole.start.offset;
  const heading = (line.exec(text)?.[0] ?? "").trimEnd();
  return originOfOffsets(
    lowering,
    document,
    whole.start.offset,
    whole.start.offset + Math.max(heading.length, 1),
  );
}

export function originOfOffsets(
  lowering: Lowering,
  document: LangiumDocument,
  start: number,
  end: number,
): Origin {
  const place = (offset: number) => {
    const { line, character } = document.textDocument.positionAt(offset);
    return { line: line + 1, column: character + 1, offset };
  };
  return { file: lowering.fileOf(document.uri), start: place(start), end: place(end) };
}

function originOfCst(lowering: Lowering, document: LangiumDocument, node: CstNode | undefined): Origin {
  const start = node?.offset ?? 0;
  const range = node?.range;
  return {
    file: lowering.fileOf(document.uri),
    start: { line: (range?.start.line ?? 0) + 1, column: (range?.start.character ?? 0) + 1, offset: start },
    end: {
      line: (range?.end.line ?? 0) + 1,
      column: (range?.end.character ?? 0) + 1,
      offset: node?.end ?? 0,
    },
  };
}

/**
 * The node a name stands for. An unknown name is reported, with what was probably meant where that is
 * close; it is not when the name may be declared in text that could not be read.
 */
export function resolve<T extends AstNode>(
  lowering: Lowering,
  node: AstNode,
  property: string,
  reference: Reference<T> | undefined,
  kind: string,
  candidates: () => Iterable<string>,
): T | undefined {
  if (!reference) return undefined;
  if (reference.ref) {
    reportCapitals(lowering, node, property, reference);
    return reference.ref;
  }
  lowering.gaps.count += 1;
  const name = reference.$refText;
  if (lowering.unreadWords(AstUtils.getDocument(node)).has(name)) return undefined;
  const origin = originOfProperty(lowering, node, property);
  const dosesOfIt = kind.startsWith("dose") ? dosesOf(name, node) : [];
  const near = dosesOfIt.length === 1 ? dosesOfIt[0] : closestName(name, candidates());
  report(lowering, {
    rule: "name-unknown",
    origin,
    what:
      dosesOfIt.length > 0
        ? `\`${name}\` is the name of an agent; here stands the name of a dose.`
        : `No ${kind} is called \`${name}\`.`,
    label: `not declared`,
    next: near ? `Did you mean \`${near}\`?` : nextWithout(candidates()),
    repairs: near
      ? [{ title: `Write ${near}`, safety: "needs-a-look", changes: [{ origin, text: near }] }]
      : [],
  });
  return undefined;
}

/** The doses of an agent in the protocol around a node: what its name may have meant where a dose's is needed. */
function dosesOf(agent: string, node: AstNode): string[] {
  const protocol = AstUtils.getContainerOfType(node, isProtocol);
  if (!protocol) return [];
  return nodesIn(protocol)
    .filter(isDose)
    .filter((dose) => canonicalName(dose.agent?.$refText ?? "") === canonicalName(agent))
    .map(({ name }) => name)
    .filter(Boolean);
}

/** How many declared names a message lists. */
const MOST_NAMES = 5;

function nextWithout(candidates: Iterable<string>): string {
  const names = [...new Set(candidates)].filter(Boolean);
  if (names.length === 0 || names.length > MOST_NAMES) return "Declare it, or name one that is declared.";
  return `Declare it, or name one that is declared: ${names.map((name) => `\`${name}\``).join(", ")}.`;
}

/** A name that is found although its use has capitals is reported where it is used. */
function reportCapitals<T extends AstNode>(
  lowering: Lowering,
  node: AstNode,
  property: string,
  { $refText: written, ref }: Reference<T>,
): void {
  const declared = (ref as { readonly name?: string } | undefined)?.name;
  if (!declared || written === declared || !/[A-Z]/.test(written)) return;
  const origin = originOfProperty(lowering, node, property);
  reportOtherCase(lowering, origin, declared, `\`${written}\` is declared as \`${declared}\`.`);
}

function reportOtherCase(lowering: Lowering, origin: Origin, right: string, what: string): void {
  report(lowering, {
    rule: "name-badly-written",
    origin,
    what,
    label: `write ${right}`,
    next: `Write \`${right}\`.`,
    repairs: [{ title: `Write ${right}`, safety: "safe", changes: [{ origin, text: right }] }],
  });
}

/**
 * A word that has to be one of a known list; reported with the list's nearest, or all of a short list. One
 * that is not written at all is the parser's to report.
 */
export function checkWord<T extends string>(
  lowering: Lowering,
  origin: Origin,
  written: string | undefined,
  known: readonly T[],
  kind: string,
  otherwise?: string,
): T | undefined {
  if (!written) return undefined;
  const found = known.find((word) => word === written);
  if (found) return found;
  const inLowerCase = known.find((word) => word === written.toLowerCase());
  if (inLowerCase) {
    reportOtherCase(lowering, origin, inLowerCase, `\`${written}\` is written in lower case.`);
    return inLowerCase;
  }
  lowering.gaps.count += 1;
  const near = closestName(written, known);
  const list = known.map((word) => `\`${word}\``).join(", ");
  report(lowering, {
    rule: "word-not-known",
    origin,
    what: `\`${written}\` is not ${kind} the language knows.`,
    label: "not known",
    next: near ? `Did you mean \`${near}\`?` : (otherwise ?? `Write one of ${list}.`),
    repairs: near
      ? [{ title: `Write ${near}`, safety: "needs-a-look", changes: [{ origin, text: near }] }]
      : [],
  });
  return undefined;
}
