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
  type Stream,
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
import { usedDocuments } from "./uses.ts";

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
    for (const node of AstUtils.streamAllContents(document.parseResult.value)) {
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

  constructor(services: LangiumCoreServices) {
    this.services = services;
  }

  getScope(context: ReferenceInfo): Scope {
    const type = this.services.shared.AstReflection.getReferenceType(context);
    const document = AstUtils.getDocument(context.container);
    const levels = this.isWorkspaceWide(context)
      ? [this.everywhere()]
      : [this.local(context.container, document), this.used(document)];
    const isOfType = (found: AstNodeDescription) =>
      this.services.shared.AstReflection.isSubtype(found.type, type);
    return new NameScope(levels.flat().filter(isOfType));
  }

  /** An acceptance names a protocol that uses these local rules, not one that they use. */
  private isWorkspaceWide(context: ReferenceInfo): boolean {
    return context.container.$type === "Acceptance";
  }

  private local(node: AstNode, document: LangiumDocument): AstNodeDescription[] {
    const found: AstNodeDescription[] = [];
    for (let holder: AstNode | undefined = node; holder; holder = holder.$container) {
      if (isScenario(holder)) found.push(...this.ofScenariosProtocol(holder, node));
      if (isDocument(holder.$container)) found.push(...this.ofProtocolCutShort(holder, document));
      if (document.localSymbols?.has(holder)) found.push(...document.localSymbols.getStream(holder));
    }
    return found;
  }

  /**
   * A section at the level of the file was cut off from the protocol before it by a stray brace, and still
   * speaks in that protocol's names.
   */
  private ofProtocolCutShort(element: AstNode, document: LangiumDocument): AstNodeDescription[] {
    if (!isSection(element) && !isStep(element)) return [];
    if (isRoutine(element)) return [];
    const { elements } = document.parseResult.value as Document;
    const before = elements.slice(0, elements.indexOf(element));
    const protocol = before.filter(isProtocol).at(-1);
    return protocol && document.localSymbols?.has(protocol)
      ? document.localSymbols.getStream(protocol).toArray()
      : [];
  }

  /** A scenario speaks in the names of the protocol that it is for. */
  private ofScenariosProtocol(scenario: Scenario, asking: AstNode): AstNodeDescription[] {
    const protocol = asking === scenario ? undefined : scenario.protocol?.ref;
    const symbols = protocol && AstUtils.getDocument(protocol).localSymbols;
    return symbols && protocol ? symbols.getStream(protocol).toArray() : [];
  }

  private used(document: LangiumDocument): AstNodeDescription[] {
    return usedDocuments(document, this.services.shared.workspace.LangiumDocuments).flatMap((other) =>
      this.offered(other),
    );
  }

  private everywhere(): AstNodeDescription[] {
    const documents = this.services.shared.workspace.LangiumDocuments.all.toArray();
    return documents.flatMap((document) => this.offered(document));
  }

  private offered(document: LangiumDocument): AstNodeDescription[] {
    const { AstNodeDescriptionProvider: descriptions } = this.services.workspace;
    return fileLevelSymbols(document, (node, name) => descriptions.createDescription(node, name, document));
  }
}

/** A list of names, the nearest first, found under either of two accepted spellings. */
class NameScope implements Scope {
  private readonly descriptions: readonly AstNodeDescription[];

  constructor(descriptions: readonly AstNodeDescription[]) {
    this.descriptions = descriptions;
  }

  getElement(name: string): AstNodeDescription | undefined {
    return this.matching(name)[0];
  }

  getElements(name: string): Stream<AstNodeDescription> {
    return stream(this.matching(name));
  }

  getAllElements(): Stream<AstNodeDescription> {
    return stream(this.descriptions);
  }

  private matching(name: string): AstNodeDescription[] {
    const wanted = canonicalName(name);
    return this.descriptions.filter((found) => canonicalName(found.name) === wanted);
  }
}
