import { namesIn } from "@limbwright/language/editor";
import { DocumentHighlightKind } from "vscode-languageserver";
import { nameAt } from "../names/names-in-folder.ts";
import { rangeOf } from "../places.ts";
import { atPlace, type Feature } from "../service.ts";

/** The other places of the file where the thing under the cursor is named. */
export const highlights: Feature = {
  offers: () => ({ documentHighlightProvider: true }),
  register: (service) => {
    service.connection.onDocumentHighlight((params) =>
      atPlace(service, params, ({ folder, file, site, offset }) => {
        const name = nameAt(folder, file, offset);
        const uses = (name && namesIn(site, file)?.uses.filter(({ key }) => key === name.key)) ?? [];
        return uses.map(({ origin, isDeclaration }) => ({
          range: rangeOf(origin),
          kind: isDeclaration ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
        }));
      }),
    );
  },
};
