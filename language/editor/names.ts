import type { Origin } from "@limbwright/shared/finding";
import { type AstNode, AstUtils, GrammarUtils, type LangiumDocument, type ReferenceInfo } from "langium";
import * as ast from "../grammar/generated/ast.ts";
import { findUsedDocuments } from "../grammar/uses.ts";
import { fileOf, type Site } from "../lower/site.ts";
import { canonicalName } from "../model/spelling.ts";
import { originOfRange } from "./folds.ts";

export const NAME_KINDS = [
  "agent",
  "cuff",
  "dose",
  "emergency",
  "event",
  "local-rules",
  "protocol",
  "routine",
  "stage",
  "timer",
] as const;

export type NameKind = (typeof NAME_KINDS)[number];

/** One place where something is named: where it is declared, or where it is spoken of. */
export interface NameUse {
  /** As it is written there; both accepted spellings name the same thing. */
  readonly name: string;
  readonly kind: NameKind;
  /** What is named, the same for every use of it in any file: its file, its protocol, its kind and its name. */
  readonly key: string;
  readonly isDeclaration: boolean;
  readonly origin: Origin;
  /** The routine or protocol in whose steps the name stands, by its key. */
  readonly within?: string;
  /** The protocol inside which the thing is declared, by its key; undefined for what stands at the level of a file. */
  readonly protocol?: string;
}

/** A name of a file that could not be found out. */
export interface UnknownName {
  readonly name: string;
  readonly origin: Origin;
  /** Whether it names a protocol, which may stand in any file of the workspace. */
  readonly isProtocol: boolean;
}

export interface NamesInFile {
  readonly uses: readonly NameUse[];
  readonly unknown: readonly UnknownName[];
}

/** What a node of the syntax tree names, by its type. */
export const KINDS_OF_NAMED: Readonly<Record<string, NameKind>> = {
  Agent: "agent",
  Cuff: "cuff",
  Dose: "dose",
  Emergency: "emergency",
  EventDeclaration: "event",
  LocalRules: "local-rules",
  Protocol: "protocol",
  Routine: "routine",
  Stage: "stage",
  Timer: "timer",
};

type Named = AstNode & { readonly name?: string };

/** Every name of a file: those it declares and those it uses, in the order of the text. Undefined: no such file. */
export function namesIn(site: Site, file: string): NamesInFile | undefined {
  const document = site.documentOf(file);
  if (!document) return undefined;
  const uses: NameUse[] = [];
  const unknown: UnknownName[] = [];
  for (const node of AstUtils.streamAst(document.parseResult.value)) {
    uses.push(
      ...[declarationOf(document, node), eventUse(site, document, node)].filter((use) => use !== undefined),
    );
    for (const reference of AstUtils.streamReferences(node)) {
      const named = referenceIn(document, node, reference);
      if (!named) continue;
      if ("key" in named) uses.push(named);
      else unknown.push(named);
    }
  }
  return { uses: uses.sort(byPlace), unknown: unknown.sort(byPlace) };
}

function referenceIn(
  document: LangiumDocument,
  node: AstNode,
  { reference, property, index }: ReferenceInfo,
): NameUse | UnknownName | undefined {
  const range = GrammarUtils.findNodeForProperty(node.$cstNode, property, index);
  const name = "$refText" in reference ? reference.$refText : "";
  if (!range || name === "") return undefined;
  const origin = originOfRange(document, range);
  const target = "ref" in reference ? reference.ref : undefined;
  const use = target && useOf(node, name, target, origin);
  return use ?? { name, origin, isProtocol: ast.isAcceptance(node) || ast.isScenario(node) };
}

function byPlace(a: { readonly origin: Origin }, b: { readonly origin: Origin }): number {
  return a.origin.start.offset - b.origin.start.offset;
}

function declarationOf(document: LangiumDocument, node: Named): NameUse | undefined {
  const kind = KINDS_OF_NAMED[node.$type];
  const range = GrammarUtils.findNodeForProperty(node.$cstNode, "name");
  if (!kind || !node.name || !range) return undefined;
  const within = holderOf(node);
  const protocol = protocolOf(node.$container);
  return {
    name: node.name,
    kind,
    key: keyOf(node, kind),
    isDeclaration: true,
    origin: originOfRange(document, range),
    ...(within && { within }),
    ...(protocol && { protocol }),
  };
}

function useOf(node: AstNode, name: string, target: Named, origin: Origin): NameUse | undefined {
  const kind = KINDS_OF_NAMED[target.$type];
  if (!kind) return undefined;
  const within = holderOf(node);
  return { name, kind, key: keyOf(target, kind), isDeclaration: false, origin, ...(within && { within }) };
}

/** An event is no cross-reference of the grammar: most are the trade's own and declared nowhere. */
function eventUse(site: Site, document: LangiumDocument, node: AstNode): NameUse | undefined {
  if (!ast.isWhenEvent(node) && !ast.isEventHappens(node)) return undefined;
  const range = GrammarUtils.findNodeForProperty(node.$cstNode, "event");
  if (!range) return undefined;
  const visible = [document, ...findUsedDocuments(document, site.documents)];
  const declared = visible
    .flatMap((one) => (one.parseResult.value as ast.Document).elements)
    .filter(ast.isEventDeclaration)
    .find(({ name }) => canonicalName(name) === canonicalName(node.event));
  return declared && useOf(node, node.event, declared, originOfRange(document, range));
}

/** What a thing is known by in every file. A name that is declared twice is one thing: an error says so. */
function keyOf(node: Named, kind: NameKind): string {
  const file = fileOf(AstUtils.getDocument(node).uri);
  const protocol = ast.isProtocol(node) ? undefined : AstUtils.getContainerOfType(node, ast.isProtocol);
  const path = protocol ? [`protocol:${canonicalName(protocol.name ?? "")}`] : [];
  return [file, ...path, `${kind}:${canonicalName(node.name ?? "")}`].join("#");
}

/** The protocol around an offset of a file, by its key. */
export function protocolAround(site: Site, file: string, offset: number): string | undefined {
  const root = site.documentOf(file)?.parseResult.value as ast.Document | undefined;
  const around = root?.elements.findLast(
    (element) => ast.isProtocol(element) && (element.$cstNode?.offset ?? offset) < offset,
  );
  return protocolOf(around);
}

/** The protocol that a node is, or stands in. */
function protocolOf(node: AstNode | undefined): string | undefined {
  const protocol = AstUtils.getContainerOfType(node, ast.isProtocol);
  return protocol && keyOf(protocol, "protocol");
}

/** The routine, else the protocol, around a node. */
function holderOf(node: AstNode): string | undefined {
  const holder =
    AstUtils.getContainerOfType(node.$container, ast.isRoutine) ??
    AstUtils.getContainerOfType(node.$container, ast.isProtocol);
  return holder && keyOf(holder, ast.isRoutine(holder) ? "routine" : "protocol");
}
