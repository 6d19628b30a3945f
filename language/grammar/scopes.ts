import {
  type AstNode,
  type AstNodeDescription,
  AstUtils,
  DefaultScopeComputation,
  type LangiumCoreServices,
  type LangiumDocument,
  type LocalSymbols,
  MultiMap,
  type ReferenceInfo,
  type Scope,
  type ScopeProvider,
  stream,
} from "langium";
import { canonicalName } from "../model/spelling.ts";
import {
  type Document,
  isDocument,
  isProtocol,
  isRoutine,
  isScenario,
  isSection,
  isStep,
  type Scenario,
} from "./generated/ast.ts";
import { nodesIn } from "./nodes.ts";
import { findUsedDocuments } from "./uses.ts";

/**
 * Which names a file offers, and where they hold. A name inside a protocol (a cuff, dose, timer, stage,
 * emergency or routine) holds in the whole protocol, however deep it is declared; one at the level of
 * the file holds in that file and in every file that uses it.
 */
export class LimbScopeComputation extends DefaultScopeComputation {
  override async collectExportedSymbols(document: LangiumDocument): Promise<AstNodeDescription[]> {
    return fileLevelSymbols(document, (node, name) =>
      this.descriptions.createDescription(node, name, document),
    );
  }

  override async collectLocalSymbols(document: LangiumDocument): Promise<LocalSymbols> {
    return this.localSymbols(document);
  }

  /** The same without a promise: nothing here waits for anything. */
  localSymbols(document: LangiumDocument): LocalSymbols {
    const symbols = new MultiMap<AstNode, AstNodeDescription>();
    for (const node of nodesIn(document.parseResult.value)) {
      const name = this.nameProvider.getName(node);
      const holder = name && holderOf(node);
      if (holder) symbols.add(holder, this.descriptions.createDescription(node, name, document));
    }
    return symbols;
  }
}

/** The node in which a name holds: its protocol, or the file for what stands outside one. */
function holderOf(node: AstNode): AstNode | undefined {
  for (let holder = node.$container; holder; holder = holder.$container) {
    if (isProtocol(holder) || isDocument(holder)) return holder;
  }
  return undefined;
}

function fileLevelSymbols<T>(document: LangiumDocument, describe: (node: AstNode, name: string) => T): T[] {
  const root = document.parseResult.value as Document;
  return root.elements.flatMap((element) => {
    const name = (element as { name?: string }).name;
    return name ? [describe(element, name)] : [];
  });
}

/** Resolves names by nearness: the protocol, then the file, then the files it uses. */
export class LimbScopeProvider implements ScopeProvider {
  private readonly services: LangiumCoreServices;
  /** What holds in a node, and what a file (by its root) offers to others. Trees do not change. */
  private readonly inside = new WeakMap<AstNode, NamesOffered>();
  private readonly outside = new WeakMap<AstNode, NamesOffered>();
  /** What the files that a file uses offer it, by its root: they are all read before a name is asked for. */
  private readonly ofUsed = new WeakMap<AstNode, readonly NamesOffered[]>();

  constructor(services: LangiumCoreServices) {
    this.services = services;
  }

  getScope(context: ReferenceInfo): Scope {
    const type = this.services.shared.AstReflection.getReferenceType(context);
    const document = AstUtils.getDocument(context.container);
    const levels = this.isWorkspaceWide(context)
      ? this.namesEverywhere()
      : [...this.localNames(context.container, document), ...this.namesOfUsedFiles(document)];
    const isOfType = (found: AstNodeDescription) =>
      this.services.shared.AstReflection.isSubtype(found.type, type);
    return scopeOf(levels, isOfType);
  }

  /** What local rules accept or answer is of protocols and drugs beside which they are used, not of files that they use. */
  private isWorkspaceWide(context: ReferenceInfo): boolean {
    return context.container.$type === "Acceptance" || context.container.$type === "MaximumAnswer";
  }

  private localNames(node: AstNode, document: LangiumDocument): NamesOffered[] {
    const levels: (NamesOffered | undefined)[] = [];
    for (let holder: AstNode | undefined = node; holder; holder = holder.$container) {
      if (isScenario(holder)) levels.push(this.ofScenariosProtocol(holder, node));
      if (isDocument(holder.$container)) levels.push(this.ofProtocolCutShort(holder, document));
      levels.push(this.namesIn(holder, document));
    }
    return levels.filter((level) => level !== undefined);
  }

  private namesIn(holder: AstNode, document: LangiumDocument): NamesOffered | undefined {
    const symbols = document.localSymbols;
    if (!symbols?.has(holder)) return undefined;
    return rememberNames(this.inside, holder, () => symbols.getStream(holder).toArray());
  }

  /**
   * A section at the level of the file was cut off from the protocol before it by a stray brace, and still
   * speaks in that protocol's names.
   */
  private ofProtocolCutShort(element: AstNode, document: LangiumDocument): NamesOffered | undefined {
    if (!isSection(element) && !isStep(element)) return undefined;
    if (isRoutine(element)) return undefined;
    const { elements } = document.parseResult.value as Document;
    const before = elements.slice(0, elements.indexOf(element));
    const protocol = before.filter(isProtocol).at(-1);
    return protocol && this.namesIn(protocol, document);
  }

  /** A scenario speaks in the names of the protocol that it is for. */
  private ofScenariosProtocol(scenario: Scenario, asking: AstNode): NamesOffered | undefined {
    const protocol = asking === scenario ? undefined : scenario.protocol?.ref;
    return protocol && this.namesIn(protocol, AstUtils.getDocument(protocol));
  }

  private namesOfUsedFiles(document: LangiumDocument): readonly NamesOffered[] {
    const root = document.parseResult.value;
    const known = this.ofUsed.get(root);
    if (known) return known;
    const used = findUsedDocuments(document, this.services.shared.workspace.LangiumDocuments);
    const offered = used.map((other) => this.namesOfFile(other));
    this.ofUsed.set(root, offered);
    return offered;
  }

  private namesEverywhere(): NamesOffered[] {
    const documents = this.services.shared.workspace.LangiumDocuments.all.toArray();
    return documents.map((document) => this.namesOfFile(document));
  }

  private namesOfFile(document: LangiumDocument): NamesOffered {
    const { AstNodeDescriptionProvider: descriptions } = this.services.workspace;
    return rememberNames(this.outside, document.parseResult.value, () =>
      fileLevelSymbols(document, (node, name) => descriptions.createDescription(node, name, document)),
    );
  }
}

function rememberNames(
  known: WeakMap<AstNode, NamesOffered>,
  holder: AstNode,
  list: () => AstNodeDescription[],
): NamesOffered {
  const found = known.get(holder) ?? new NamesOffered(list());
  known.set(holder, found);
  return found;
}

/** Named things in the order of the text, found under either of two accepted spellings. */
class NamesOffered {
  readonly all: readonly AstNodeDescription[];
  private readonly byName = new Map<string, AstNodeDescription[]>();

  constructor(all: readonly AstNodeDescription[]) {
    this.all = all;
    for (const description of all) {
      const name = canonicalName(description.name);
      const sameName = this.byName.get(name);
      if (sameName) sameName.push(description);
      else this.byName.set(name, [description]);
    }
  }

  findByName(name: string): readonly AstNodeDescription[] {
    return this.byName.get(canonicalName(name)) ?? [];
  }
}

/** Names of one type, the nearest first. */
function scopeOf(levels: readonly NamesOffered[], isOfType: (found: AstNodeDescription) => boolean): Scope {
  const named = (name: string) => levels.flatMap((level) => level.findByName(name)).filter(isOfType);
  return {
    getElement: (name) => named(name)[0],
    getElements: (name) => stream(named(name)),
    getAllElements: () => stream(levels.flatMap((level) => level.all).filter(isOfType)),
  };
}
