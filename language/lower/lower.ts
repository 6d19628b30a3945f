import { compareOrigins } from "@limbwright/shared/finding";
import type { AstNode, LangiumDocument, LangiumDocuments } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import { isSection, isStep } from "../grammar/generated/ast.ts";
import { nodesIn, nodesOfType } from "../grammar/nodes.ts";
import { isSlipOfABrace } from "../grammar/parse-error-words.ts";
import { findUsedDocuments } from "../grammar/uses.ts";
import type { Agent, DeclaredEvent, LocalRules, Problem, Protocol, Scenario } from "../model/index.ts";
import { agentOf, readAgent } from "./agents.ts";
import { Lowering, type LoweringContext } from "./context.ts";
import { reportSharedLines } from "./lines.ts";
import { readLocalRules } from "./local-rules.ts";
import { checkName, checkNamesDiffer, nameOf } from "./names.ts";
import { checkRoutine, protocolOf, reportMissingSections } from "./protocol.ts";
import { scenarioOf } from "./scenarios.ts";
import { reportSyntax, unreadWordsOf } from "./syntax.ts";
import { useProblems } from "./use-problems.ts";

/** All that one file declares, and what was wrong in it. */
export interface LoweredFile {
  readonly file: string;
  readonly protocols: readonly Protocol[];
  readonly agents: readonly Agent[];
  readonly localRules: readonly LocalRules[];
  readonly scenarios: readonly Scenario[];
  readonly problems: readonly Problem[];
}

/** What the files of one site share. */
export interface Surrounding extends Omit<LoweringContext, "unreadWords"> {
  readonly documents: LangiumDocuments;
  readonly isMissing: (file: string) => boolean;
}

/**
 * Lowers one file: its syntax tree, with names resolved through the files it uses, to typed values. Never
 * throws on a broken tree; gives what could be understood. Problems of used files are not among its own.
 */
export function lowerFile(
  document: LangiumDocument,
  { documents, isMissing, ...shared }: Surrounding,
): LoweredFile {
  const root = document.parseResult.value as ast.Document;
  const file = shared.fileOf(document.uri);
  const unreadWords = new Map<LangiumDocument, ReadonlySet<string>>();
  const lowering = new Lowering({
    ...shared,
    unreadWords: (of) => getOrMake(unreadWords, of, () => unreadWordsOf(of)),
  });
  const linesWithSlips = reportSyntax(lowering, document);
  reportSharedLines(lowering, document);
  const used = findUsedDocuments(document, documents);
  const elements = [document, ...used].flatMap((one) => (one.parseResult.value as ast.Document).elements);
  checkFileNames(lowering, root, elements);
  const agents = nodesOfType(root.elements, "Agent").map((node) => readAgent(lowering, node));
  const localRules = nodesOfType(root.elements, "LocalRules").map((node) => readLocalRules(lowering, node));
  for (const { problems } of [...agents, ...localRules]) lowering.problems.push(...problems);
  const surroundings = surroundingsOf(lowering, elements);
  for (const routine of nodesOfType(root.elements, "Routine"))
    checkFileRoutine(lowering, routine, surroundings);
  const protocols = nodesOfType(root.elements, "Protocol").map((node) =>
    lowerProtocol(lowering, document, root, node, surroundings),
  );
  reportStrays(lowering, root);
  const protocolNames = nodesOfType(elements, "Protocol").map(nameOf);
  const scenarios = nodesOfType(root.elements, "Scenario").map((node) => {
    const events = surroundings.declaredEvents.map((event) => event.name);
    return scenarioOf(lowering, node, protocolNames, events);
  });
  const own = withoutConsequences(
    lowering.problems.filter((problem) => problem.origin.file === file),
    linesWithSlips,
    nodesOfType(root.elements, "StrayBrace").length > 0,
  );
  return {
    file,
    protocols,
    agents: agents.map(({ value }) => value),
    localRules: localRules.map(({ value }) => value),
    scenarios,
    problems: [...useProblems(lowering, document, documents, isMissing), ...own],
  };
}

function lowerProtocol(
  lowering: Lowering,
  document: LangiumDocument,
  root: ast.Document,
  node: ast.Protocol,
  surroundings: ReturnType<typeof surroundingsOf>,
): Protocol {
  const strays = straysAfter(root, node);
  const incomplete = isIncomplete(document, node) || strays.length > 0;
  const protocol = protocolOf(lowering, node, { ...surroundings, strays, incomplete });
  if (!incomplete) reportMissingSections(lowering, node);
  return protocol;
}

/**
 * The problems without those that come of another one: what else is wrong on a line that was not understood,
 * and, after a closing brace too many, every statement that stands out of place but the first.
 */
function withoutConsequences(
  problems: readonly Problem[],
  linesWithSlips: ReadonlySet<number>,
  hasStrayBrace: boolean,
): Problem[] {
  const direct = problems.filter(
    ({ rule, origin }) => rule === "text-not-understood" || !linesWithSlips.has(origin.start.line - 1),
  );
  if (!hasStrayBrace) return direct;
  const [first] = direct.filter(isOutOfPlace).sort((a, b) => compareOrigins(a.origin, b.origin));
  return direct.filter((problem) => problem === first || !isOutOfPlace(problem));
}

function isOutOfPlace({ rule, what }: Problem): boolean {
  return rule === "statement-out-of-place" || isSlipOfABrace(what);
}

function getOrMake<K, V>(known: Map<K, V>, key: K, make: () => V): V {
  const found = known.get(key);
  if (found !== undefined) return found;
  const made = make();
  known.set(key, made);
  return made;
}

function surroundingsOf(lowering: Lowering, elements: readonly ast.Element[]) {
  return {
    agents: nodesOfType(elements, "Agent").map((node) => agentOf(lowering, node)),
    declaredEvents: nodesOfType(elements, "EventDeclaration").map((node) => eventOf(lowering, node)),
    routines: nodesOfType(elements, "Routine").map(nameOf),
    localRules: nodesOfType(elements, "LocalRules").map(nameOf),
  };
}

function eventOf(lowering: Lowering, node: ast.EventDeclaration): DeclaredEvent {
  return {
    name: nameOf(node),
    ...(node.title !== undefined && { title: node.title }),
    origin: lowering.originOf(node),
  };
}

const NO_NAMES = { cuffs: [], doses: [], timers: [], stages: [], emergencies: [] };

function checkFileRoutine(
  lowering: Lowering,
  node: ast.Routine,
  around: { readonly declaredEvents: readonly DeclaredEvent[]; readonly routines: readonly string[] },
): void {
  const names = { ...NO_NAMES, routines: around.routines };
  const declaredEvents = around.declaredEvents.map((event) => event.name);
  checkRoutine({ lowering, names, declaredEvents, inStage: true, routines: [] }, node);
}

type Named = AstNode & { readonly name: string };

/** Two agents, or two protocols, of one name would leave a reader to guess which is meant. */
function checkFileNames(lowering: Lowering, root: ast.Document, visible: readonly ast.Element[]): void {
  for (const type of ["Agent", "Protocol", "LocalRules", "Routine", "EventDeclaration"] as const) {
    const all: Named[] = nodesOfType(visible, type);
    const others = all.filter((node) => node.$container !== root);
    checkNamesDiffer(lowering, [...others, ...all.filter((node) => node.$container === root)]);
  }
  for (const event of nodesOfType(root.elements, "EventDeclaration")) checkName(lowering, event);
}

/** Sections at the level of the file that follow a protocol directly: a stray brace has cut them off. */
function straysAfter(root: ast.Document, protocol: ast.Protocol): ast.Section[] {
  const start = root.elements.indexOf(protocol) + 1;
  const strays: ast.Section[] = [];
  for (const element of root.elements.slice(start)) {
    if (element.$type === "Protocol") break;
    if (isSection(element) && element.$type !== "Routine") strays.push(element);
  }
  return strays;
}

function reportStrays(lowering: Lowering, root: ast.Document): void {
  const first = root.elements.find(
    (element) => isStep(element) || (isSection(element) && element.$type !== "Routine"),
  );
  if (first) {
    lowering.report({
      rule: "statement-out-of-place",
      origin: lowering.originOfHeading(first),
      what: "This stands outside any protocol.",
      label: "outside its protocol",
      next: "Move it into `protocol NAME { … }`. A closing brace } too many before it may have ended the protocol early.",
    });
  }
  // What stands out of place was cut off by one brace too many; the last one left over is its consequence.
  const braces = nodesOfType(root.elements, "StrayBrace");
  for (const brace of lowering.problems.some(isOutOfPlace) ? braces.slice(0, -1) : braces) {
    lowering.report({
      rule: "text-not-understood",
      origin: lowering.originOfProperty(brace, "brace"),
      what: "This closing brace closes nothing.",
      label: "one brace too many",
      next: "Remove it, or find the block above that was closed too early.",
    });
  }
}

/** Whether anything inside the protocol could not be read. */
function isIncomplete(document: LangiumDocument, node: ast.Protocol): boolean {
  const range = node.$cstNode;
  if (!range) return true;
  const { parserErrors, lexerErrors } = document.parseResult;
  const offsets = [
    ...parserErrors.map((error) => error.token.startOffset),
    ...lexerErrors.map((error) => error.offset),
  ];
  const inside = (offset: number) => offset < 0 || (offset >= range.offset && offset <= range.end);
  return offsets.some(inside) || hasUnknown(node);
}

function hasUnknown(node: AstNode): boolean {
  return nodesIn(node).some((inner) => inner.$type === "Unknown");
}
