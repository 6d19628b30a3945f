import type { NameKind } from "@limbwright/language/editor";
import { SymbolKind } from "vscode-languageserver";
import { declarationsLike, locationOf } from "../names/names-in-folder.ts";
import type { Feature } from "../service.ts";

/** What each kind of thing is shown as, by the symbols that editors have. */
const SYMBOL_KINDS: Readonly<Record<NameKind, SymbolKind>> = {
  agent: SymbolKind.Constant,
  cuff: SymbolKind.Object,
  dose: SymbolKind.Number,
  emergency: SymbolKind.Event,
  event: SymbolKind.Event,
  "local-rules": SymbolKind.Namespace,
  protocol: SymbolKind.Module,
  routine: SymbolKind.Function,
  stage: SymbolKind.Struct,
  timer: SymbolKind.Variable,
};

/** Finds anything that is declared in the workspace by some letters of its name. */
export const workspaceSymbols: Feature = {
  offers: () => ({ workspaceSymbolProvider: true }),
  register: ({ connection, folders }) => {
    connection.onWorkspaceSymbol(({ query }) =>
      folders.all.flatMap((folder) =>
        declarationsLike(folder, query).map((use) => ({
          name: use.name,
          kind: SYMBOL_KINDS[use.kind],
          location: locationOf(folder, use),
          containerName: use.within?.split(":").at(-1) ?? use.origin.file,
        })),
      ),
    );
  },
};
