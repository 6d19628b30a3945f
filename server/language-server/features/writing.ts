import { formatText } from "@limbwright/language";
import {
  type Completion,
  type CompletionKind,
  completionsAt,
  signatureAt,
} from "@limbwright/language/editor";
import { diffArrays } from "diff";
import {
  type CompletionItem,
  CompletionItemKind,
  InsertTextFormat,
  LSPErrorCodes,
  type Range,
  ResponseError,
  type TextEdit,
} from "vscode-languageserver";
import type { TextDocument } from "vscode-languageserver-textdocument";
import { filesOf, relativePath } from "../names/names-in-folder.ts";
import { rangeOf } from "../places.ts";
import { atPlace, inText, type Service } from "../service.ts";

/** Helps while a text is written: says what can stand at the cursor, and lays it out. */
export function helpToWrite(service: Service): void {
  const { connection, client } = service;
  const takesTemplates = client.textDocument?.completion?.completionItem?.snippetSupport ?? false;
  // Statements with their places to fill in, names, units, rules, files.
  connection.onCompletion(
    atPlace(service, ({ folder, site, file, offset }) => {
      const others = filesOf(folder).filter((one) => one !== file);
      const paths = others.map((one) => relativePath(file, one));
      const findings = service.checker.findingsIn(folder);
      const found = completionsAt(site, file, offset, paths, findings);
      const range = found && rangeOf(found.replaced);
      return found && range ? found.items.map((one) => completionItem(one, range, takesTemplates)) : [];
    }),
  );
  // The forms of an amount.
  connection.onSignatureHelp(
    atPlace(service, ({ site, file, offset }) => {
      const found = signatureAt(site, file, offset);
      if (!found) return null;
      const signatures = found.forms.map(({ label, says, parts }) => ({
        label,
        documentation: says,
        parameters: parts.map((part) => ({ label: part.label, documentation: part.says })),
      }));
      return { activeSignature: found.form, activeParameter: found.part, signatures };
    }),
  );
  // The whole, a range, or the lines around what was just typed.
  connection.onDocumentFormatting(inText(service, ({ document }) => editsOrRefusal(document)));
  connection.onDocumentRangeFormatting(
    inText(service, ({ document }, { range }) => within(editsOrRefusal(document), range)),
  );
  connection.onDocumentOnTypeFormatting(
    inText(service, ({ document }, { position: { line } }) => {
      // While one types a text is often incomplete: then nothing moves, and nothing is said.
      const range = { start: { line: Math.max(line - 1, 0), character: 0 }, end: { line, character: 0 } };
      const result = formatText(document.getText());
      return result.kind === "formatted" ? within(editsOfLines(document, result.text), range) : [];
    }),
  );
}

const KINDS: Readonly<Record<CompletionKind, CompletionItemKind>> = {
  agent: CompletionItemKind.Constant,
  cuff: CompletionItemKind.Variable,
  dose: CompletionItemKind.Value,
  emergency: CompletionItemKind.Event,
  event: CompletionItemKind.Event,
  file: CompletionItemKind.File,
  "local-rules": CompletionItemKind.Module,
  protocol: CompletionItemKind.Module,
  routine: CompletionItemKind.Function,
  rule: CompletionItemKind.Reference,
  stage: CompletionItemKind.Struct,
  statement: CompletionItemKind.Keyword,
  timer: CompletionItemKind.Variable,
  unit: CompletionItemKind.Unit,
  word: CompletionItemKind.Keyword,
};

function completionItem(
  { label, kind, detail, text, isTemplate }: Completion,
  range: Range,
  takesTemplates: boolean,
): CompletionItem {
  const isSnippet = isTemplate && takesTemplates;
  return {
    label,
    kind: isTemplate ? CompletionItemKind.Snippet : KINDS[kind],
    ...(detail !== "" && { detail }),
    insertTextFormat: isSnippet ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    textEdit: { range, newText: isTemplate && !takesTemplates ? fillIn(text) : text },
  };
}

/** A template with its places filled in as they are proposed. */
function fillIn(template: string): string {
  return template.replace(/\$\{\d+:([^}]*)\}/g, "$1").replace(/\$0/g, "");
}

/** A text with errors is refused, in words. */
function editsOrRefusal(document: TextDocument): TextEdit[] {
  const result = formatText(document.getText());
  if (result.kind === "formatted") return editsOfLines(document, result.text);
  const { reason, place } = result;
  throw new ResponseError(
    LSPErrorCodes.RequestFailed,
    `The text is left as it is: line ${place.line} cannot be read. ${reason}`,
  );
}

/** Only the lines that change, so that the cursor and marks on others stay where they are. */
function editsOfLines(document: TextDocument, formatted: string): TextEdit[] {
  const edits: TextEdit[] = [];
  let line = 0;
  for (const { value, added, removed } of diffArrays(linesOf(document.getText()), linesOf(formatted))) {
    const last = edits.at(-1);
    const start = { line, character: 0 };
    if (removed) {
      const end = { line: line + value.length, character: 0 };
      edits.push({ range: { start, end }, newText: "" });
      line += value.length;
    } else if (added) {
      if (last && last.range.end.line === line && last.newText === "") last.newText = value.join("");
      else edits.push({ range: { start, end: start }, newText: value.join("") });
    } else {
      line += value.length;
    }
  }
  return edits;
}

/** The lines of a text, each with its end. */
function linesOf(text: string): string[] {
  return text.match(/[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+$/g) ?? [];
}

function within(edits: readonly TextEdit[], { start, end }: Range): TextEdit[] {
  return edits.filter(({ range }) => range.end.line >= start.line && range.start.line <= end.line);
}
