import type { Site } from "../lower/site.ts";
import { unreadWordsOf } from "../lower/syntax.ts";

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
