import { declarationsLike, locationOf } from "../names/names-in-folder.ts";
import type { Feature } from "../service.ts";
import { SYMBOL_KINDS } from "../symbol-kinds.ts";

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
