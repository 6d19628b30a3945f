import { type OutlineItem, type OutlineKind, outlineOf } from "@limbwright/language/editor";
import { type DocumentSymbol, SymbolKind } from "vscode-languageserver";
import { rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";

const KINDS: Readonly<Record<OutlineKind, SymbolKind>> = {
  cuff: SymbolKind.Object,
  dose: SymbolKind.Number,
  drug: SymbolKind.Constant,
  handler: SymbolKind.Event,
  protocol: SymbolKind.Module,
  routine: SymbolKind.Function,
  rules: SymbolKind.Namespace,
  scenario: SymbolKind.Class,
  section: SymbolKind.Field,
  stage: SymbolKind.Struct,
  timer: SymbolKind.Variable,
};

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
    kind: KINDS[kind],
    range: rangeOf(origin),
    selectionRange: rangeOf(nameOrigin),
    children: children.map(symbolOf),
  };
}
