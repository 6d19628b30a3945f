import type { Site } from "@limbwright/language";
import type { ClientCapabilities, Connection, Position } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { Checker } from "./checking/checker.ts";
import type { FileInFolder, FolderSet } from "./folders/folder.ts";

/** What the features of the server work with. */
export interface Service {
  readonly connection: Connection;
  readonly client: ClientCapabilities;
  readonly folders: FolderSet;
  readonly checker: Checker;
  /** Whether the client says that it can ask for the reason of an acceptance. */
  readonly canAskForReason: boolean;
  /** Whether the client says that it can step through a run. */
  readonly canStepThroughRuns: boolean;
}

/** A text that a client asks about, open in the editor or a file of its workspace. */
export interface AskedText extends FileInFolder {
  readonly document: TextDocument;
  readonly site: Site;
}

/** Undefined for a text that is not known: neither open nor in a folder of the workspace. */
export function findText({ folders }: Service, { uri }: { readonly uri: string }): AskedText | undefined {
  const found = folders.find(uri);
  if (!found) return undefined;
  const { folder, file } = found;
  const text = folder.textOf(file);
  if (text === undefined) return undefined;
  const document = folder.openDocument(file) ?? TextDocument.create(uri, "limb", 0, text);
  return { folder, file, document, site: folder.site };
}

/** What names a text: the editor's own params, or those of a request of ours. */
type OfText = { readonly uri: string } | { readonly textDocument: { readonly uri: string } };

/** Answers about a whole text; `null` where it is not known. */
export function inText<Params extends OfText, Answer>(
  service: Service,
  answer: (asked: AskedText, params: Params) => Answer,
): (params: Params) => Answer | null {
  return (params) => {
    const asked = findText(service, "uri" in params ? params : params.textDocument);
    return asked ? answer(asked, params) : null;
  };
}

/** Answers about a place in a text; `null` where the text is not known. */
export function atPlace<Params extends OfText & { readonly position: Position }, Answer>(
  service: Service,
  answer: (asked: AskedText & { readonly offset: number }, params: Params) => Answer,
): (params: Params) => Answer | null {
  return inText(service, (asked, params) =>
    answer({ ...asked, offset: asked.document.offsetAt(params.position) }, params),
  );
}
