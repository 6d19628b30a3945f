import type { OutlineKind } from "@limbwright/language/editor";
import { SymbolKind } from "vscode-languageserver";

/** What each kind of thing is shown as, by the symbols that editors have. */
export const SYMBOL_KINDS: Readonly<Record<OutlineKind, SymbolKind>> = {
  agent: SymbolKind.Constant,
  cuff: SymbolKind.Object,
  dose: SymbolKind.Number,
  emergency: SymbolKind.Event,
  event: SymbolKind.Event,
  handler: SymbolKind.Event,
  "local-rules": SymbolKind.Namespace,
  protocol: SymbolKind.Module,
  requirement: SymbolKind.Namespace,
  routine: SymbolKind.Function,
  scenario: SymbolKind.Class,
  section: SymbolKind.Field,
  stage: SymbolKind.Struct,
  timer: SymbolKind.Variable,
};
