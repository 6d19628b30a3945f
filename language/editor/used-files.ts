import type { Origin } from "@limbwright/shared/finding";
import { GrammarUtils } from "langium";
import { climbsOut, uriOfUse, usesOf } from "../grammar/uses.ts";
import { fileOf, type Site } from "../lower/site.ts";
import { unreadWordsOf } from "../lower/syntax.ts";
import { originOfRange } from "./folds.ts";

/** A `use` statement's file, with the place of its path. */
export interface UsedFile {
  readonly used: string;
  readonly origin: Origin;
}

/** The files that a file's `use` statements name inside the workspace, there or not. */
export function findUsedFiles(site: Site, file: string): UsedFile[] {
  const document = site.documentOf(file);
  if (!document) return [];
  return usesOf(document).flatMap((use) => {
    const uri = uriOfUse(document, use);
    const range = GrammarUtils.findNodeForProperty(use.$cstNode, "path");
    if (!uri || !range || climbsOut(document.uri, use.path)) return [];
    return [{ used: fileOf(uri), origin: originOfRange(document, range) }];
  });
}

/** The file that is named at an offset; undefined where no `use` names one there. */
export function findUsedFileAt(site: Site, file: string, offset: number): string | undefined {
  return findUsedFiles(site, file).find(
    ({ origin: { start, end } }) => start.offset <= offset && offset <= end.offset,
  )?.used;
}

/** The words of a file that stand where its text is not understood: a name among them may or may not be that name. */
export function unreadWords(site: Site, file: string): ReadonlySet<string> {
  const document = site.documentOf(file);
  if (!document) return new Set();
  const words = new Set(unreadWordsOf(document));
  const lines = document.textDocument.getText().split(/\r\n|\r|\n/);
  for (const { rule, origin } of site.file(file)?.problems ?? []) {
    if (rule !== "text-not-understood") continue;
    const unread = lines.slice(origin.start.line - 1, origin.end.line).join("\n");
    for (const word of unread.match(/[A-Za-z_][\w-]*/g) ?? []) words.add(word);
  }
  return words;
}
