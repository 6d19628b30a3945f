import type { LangiumDocument, LangiumDocuments, URI } from "langium";
import { UriUtils } from "langium";
import { type Document, isUse, type Use } from "./generated/ast.ts";

/** The `use` statements of a file, in order. */
export function usesOf(document: LangiumDocument): Use[] {
  return (document.parseResult.value as Document).elements.filter(isUse);
}

/** The file a `use` names, relative to the file it stands in; undefined for an empty or absolute path. */
export function uriOfUse(document: LangiumDocument, use: Use): URI | undefined {
  const path = use.path ?? "";
  if (path === "" || path.startsWith("/") || /^[A-Za-z][\w+.-]*:/.test(path) || path.includes("\\"))
    return undefined;
  return UriUtils.resolvePath(UriUtils.dirname(document.uri), path);
}

/** Whether a relative path leads above the root of the workspace, which is the root of the URI. */
export function climbsOut(from: URI, path: string): boolean {
  let depth = from.path.split("/").length - 2;
  for (const part of path.split("/")) {
    if (part === "..") depth--;
    else if (part !== "." && part !== "") depth++;
    if (depth < 0) return true;
  }
  return false;
}

/**
 * Every file whose names a document can use: those it uses, and those they use in turn. A file that was
 * not loaded (it is missing, or outside the workspace) is left out; its `use` is reported on reading.
 */
export function findUsedDocuments(document: LangiumDocument, documents: LangiumDocuments): LangiumDocument[] {
  const seen = new Set([document.uri.toString()]);
  const found: LangiumDocument[] = [];
  const follow = (from: LangiumDocument) => {
    for (const use of usesOf(from)) {
      const uri = uriOfUse(from, use);
      if (!uri || climbsOut(from.uri, use.path) || seen.has(uri.toString()) || !documents.hasDocument(uri))
        continue;
      seen.add(uri.toString());
      const used = documents.getDocument(uri);
      if (!used) continue;
      found.push(used);
      follow(used);
    }
  };
  follow(document);
  return found;
}
