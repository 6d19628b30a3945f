import { formatText } from "@limbwright/language";
import { diffArrays } from "diff";
import { LSPErrorCodes, type Range, ResponseError, type TextEdit } from "vscode-languageserver";
import type { TextDocument } from "vscode-languageserver-textdocument";
import { type Feature, inText } from "../service.ts";

/** Lays a text out: the whole, a range, or the lines around what was just typed. A text with errors is refused, in words. */
export const formatting: Feature = {
  offers: () => ({
    documentFormattingProvider: true,
    documentRangeFormattingProvider: true,
    documentOnTypeFormattingProvider: { firstTriggerCharacter: "}", moreTriggerCharacter: ["\n"] },
  }),
  register: (service) => {
    const { connection } = service;
    connection.onDocumentFormatting((params) =>
      inText(service, params, ({ document }) => editsOrRefusal(document)),
    );
    connection.onDocumentRangeFormatting((params) =>
      inText(service, params, ({ document }) => within(editsOrRefusal(document), params.range)),
    );
    connection.onDocumentOnTypeFormatting((params) =>
      inText(service, params, ({ document }) => {
        // While one types a text is often incomplete: then nothing moves, and nothing is said.
        const { line } = params.position;
        const range = { start: { line: Math.max(line - 1, 0), character: 0 }, end: { line, character: 0 } };
        return within(editsOf(document) ?? [], range);
      }),
    );
  },
};

function editsOrRefusal(document: TextDocument): TextEdit[] {
  const result = formatText(document.getText());
  if (result.kind === "formatted") return editsOfLines(document, result.text);
  const { reason, place } = result;
  throw new ResponseError(
    LSPErrorCodes.RequestFailed,
    `The text is left as it is: line ${place.line} cannot be read. ${reason}`,
  );
}

function editsOf(document: TextDocument): TextEdit[] | undefined {
  const result = formatText(document.getText());
  return result.kind === "formatted" ? editsOfLines(document, result.text) : undefined;
}

/** Only the lines that change, so that the cursor and marks on others stay where they are. */
function editsOfLines(document: TextDocument, formatted: string): TextEdit[] {
  const edits: TextEdit[] = [];
  let line = 0;
  for (const { value, added, removed } of diffArrays(linesOf(document.getText()), linesOf(formatted))) {
    const last = edits.at(-1);
    if (removed) {
      const end = { line: line + value.length, character: 0 };
      edits.push({ range: { start: { line, character: 0 }, end }, newText: "" });
      line += value.length;
    } else if (added) {
      if (last && last.range.end.line === line && last.newText === "") last.newText = value.join("");
      else
        edits.push({
          range: { start: { line, character: 0 }, end: { line, character: 0 } },
          newText: value.join(""),
        });
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
