import { type LangiumDocument, type LangiumDocuments, URI } from "langium";
import { createLimbServices, type LimbServices } from "../grammar/module.ts";
import type { LimbScopeComputation } from "../grammar/scopes.ts";
import { climbsOut, uriOfUse, usesOf } from "../grammar/uses.ts";
import { type LoweredFile, lowerFile, type Surrounding } from "./lower.ts";

/** Gives the text of a file by its path in the workspace ("protocols/wrist.limb"); undefined: no such file. */
export type ReadText = (file: string) => string | undefined;

/** A file that was read, with the files that it uses, directly and through others. */
export interface SiteFile extends LoweredFile {
  readonly uses: readonly string[];
  /** Files that it asks for, directly or through others, and that are not there. */
  readonly missing: readonly string[];
}

/**
 * The files of a workspace, read when they are asked for. What several protocols share (a formulary) is
 * read and lowered once. It keeps what it has read until told to `forget`.
 */
export class Site {
  private readonly services: LimbServices = createLimbServices();
  private readonly lowered = new Map<string, SiteFile>();
  private readonly missing = new Set<string>();
  private readonly readText: ReadText;
  private readonly shared: Surrounding;

  constructor(readText: ReadText) {
    this.readText = readText;
    this.shared = {
      documents: this.documents,
      fileOf,
      isMissing: (file) => this.missing.has(file),
      agents: new WeakMap(),
      localRules: new WeakMap(),
    };
  }

  /** Every syntax tree that is kept; for answers about places in a text. */
  get documents(): LangiumDocuments {
    return this.services.shared.workspace.LangiumDocuments;
  }

  /** Reads a file and everything it uses. Undefined when there is no such file. */
  file(file: string): SiteFile | undefined {
    const known = this.lowered.get(file);
    if (known) return known;
    const document = this.open(uriOf(file));
    if (!document) return undefined;
    const { uses, missing } = this.openUsed(document);
    const read = { ...lowerFile(document, this.shared), uses, missing };
    this.lowered.set(file, read);
    return read;
  }

  /** The text of a file as it was read; throws when it was not, or was forgotten. */
  textOf(file: string): string {
    const document = this.documents.getDocument(uriOf(file));
    if (!document) throw new Error(`the text of ${file} is asked for, but it was not read`);
    return document.textDocument.getText();
  }

  /** Lets go of a file that no other uses, so that reading thousands does not fill the memory. */
  forget(file: string): void {
    this.lowered.delete(file);
    if (this.documents.hasDocument(uriOf(file))) this.documents.deleteDocument(uriOf(file));
  }

  /**
   * Lets go of a file whose text may be another now, and of every file that uses it: they are read again when
   * they are asked for.
   */
  noteChange(file: string): void {
    this.missing.delete(file);
    for (const stale of [file, ...this.usersOf(file)]) this.forget(stale);
  }

  /** The syntax tree of a file with its names; for answers about places in the text. Undefined: no such file. */
  documentOf(file: string): LangiumDocument | undefined {
    return this.file(file) && this.documents.getDocument(uriOf(file));
  }

  /** The files that were read and use this one, directly or through others. */
  private usersOf(file: string): string[] {
    const documents = this.documents.all.toArray();
    const found = new Set([file]);
    for (let before = 0; before < found.size; ) {
      before = found.size;
      for (const document of documents) {
        const names = usesOf(document).map((use) => uriOfUse(document, use));
        if (names.some((uri) => uri && found.has(fileOf(uri)))) found.add(fileOf(document.uri));
      }
    }
    found.delete(file);
    return [...found];
  }

  private openUsed(document: LangiumDocument): Pick<SiteFile, "uses" | "missing"> {
    const found = new Set<string>();
    const missing = new Set<string>();
    const follow = (from: LangiumDocument) => {
      for (const use of usesOf(from)) {
        const uri = uriOfUse(from, use);
        if (!uri || climbsOut(from.uri, use.path) || found.has(fileOf(uri))) continue;
        const used = this.open(uri);
        if (!used) {
          missing.add(fileOf(uri));
          continue;
        }
        found.add(fileOf(uri));
        follow(used);
      }
    };
    follow(document);
    found.delete(fileOf(document.uri));
    return { uses: [...found], missing: [...missing] };
  }

  private open(uri: URI): LangiumDocument | undefined {
    const { documents } = this;
    if (documents.hasDocument(uri)) return documents.getDocument(uri);
    const text = this.readText(fileOf(uri));
    if (text === undefined) {
      this.missing.add(fileOf(uri));
      return undefined;
    }
    const factory = this.services.shared.workspace.LangiumDocumentFactory;
    const document = factory.fromString(text.replace(HALF_CHARACTER, "\ufffd"), uri);
    documents.addDocument(document);
    const scopes = this.services.limb.references.ScopeComputation as LimbScopeComputation;
    document.localSymbols = scopes.localSymbols(document);
    document.state = COMPUTED_SCOPES;
    return document;
  }
}

/** Langium's `DocumentState.ComputedScopes`: names can be resolved from here on. */
const COMPUTED_SCOPES = 3;

/** One half of a pair of UTF-16 units, which no file can hold: it could not be written to any output either. */
const HALF_CHARACTER = /\p{Surrogate}/gu;

function uriOf(file: string): URI {
  return URI.from({ scheme: "limb", path: `/${file}` });
}

/** The path in the workspace of a file of a site. */
export function fileOf(uri: URI): string {
  return uri.path.replace(/^\//, "");
}
