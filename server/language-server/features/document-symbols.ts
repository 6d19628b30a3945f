import { type OutlineItem, outlineOf } from "@limbwright/language/editor";
import type { DocumentSymbol } from "vscode-languageserver";
import { rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";
import { SYMBOL_KINDS } from "../symbol-kinds.ts";

/** The outline of a text. */
export const documentSymbols: Feature = {
  offers: () => ({ documentSymbolProvider: true }),
  register: (service) => {
    service.connection.onDocumentSymbol((params) =>
      inText(service, params, ({ site, file }) => outlineOf(site, file).map(symbolOf)),
    );
  },
};

function symbolOf({ name, detail, kind, origin, nameOrigin, children }: OutlineItem): DocumentSymbol {
  return {
    name,
    detail,
    kind: SYMBOL_KINDS[kind],
    range: rangeOf(origin),
    selectionRange: rangeOf(nameOrigin),
    children: children.map(symbolOf),
  };
}
