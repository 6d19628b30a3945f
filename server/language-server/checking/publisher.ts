import type { Finding } from "@limbwright/shared/finding";
import type { Connection, Diagnostic } from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import { diagnosticOf, type RulePageLink, troubleDiagnostic } from "./diagnostics.ts";

/** Sends the diagnostics of files to the client, each file's only when they are others than before. */
export class Publisher {
  readonly #connection: Connection;
  readonly #link: RulePageLink;
  /** What was sent of each folder, by URI, as text that can be compared. */
  readonly #sent = new Map<string, Map<string, string>>();

  constructor(connection: Connection, link: RulePageLink) {
    this.#connection = connection;
    this.#link = link;
  }

  /** Takes all that is found in a folder now; what is no longer found there vanishes. */
  show(folder: Folder, findings: ReadonlyMap<string, readonly Finding[]>): void {
    const before = this.#sent.get(folder.uri) ?? new Map<string, string>();
    const now = new Map<string, string>();
    for (const file of new Set([...findings.keys(), ...folder.listed])) {
      const diagnostics = this.#diagnosticsOf(folder, file, findings.get(file) ?? []);
      if (diagnostics.length > 0) now.set(folder.uriOf(file), JSON.stringify(diagnostics));
    }
    this.#sent.set(folder.uri, now);
    for (const uri of before.keys()) if (!now.has(uri)) this.#send(uri, "[]");
    for (const [uri, text] of now) if (before.get(uri) !== text) this.#send(uri, text);
  }

  #diagnosticsOf(folder: Folder, file: string, findings: readonly Finding[]): Diagnostic[] {
    const trouble = folder.troubleOf(file);
    const own = findings.map((finding) => diagnosticOf(finding, folder, this.#link));
    return trouble ? [troubleDiagnostic(trouble), ...own] : own;
  }

  #send(uri: string, text: string): void {
    this.#connection.sendDiagnostics({ uri, diagnostics: JSON.parse(text) }).catch(() => {});
  }
}
