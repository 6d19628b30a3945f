import { findUsedFiles } from "@limbwright/language/editor";
import { rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";

/** The files of `use` statements as links; none for a file that is not there or lies outside the workspace. */
export const documentLinks: Feature = {
  offers: () => ({ documentLinkProvider: {} }),
  register: (service) => {
    service.connection.onDocumentLinks((params) =>
      inText(service, params, ({ folder, file, site }) =>
        findUsedFiles(site, file)
          .filter(({ used }) => folder.textOf(used) !== undefined)
          .map(({ origin, used }) => ({ range: rangeOf(origin), target: folder.uriOf(used) })),
      ),
    );
  },
};
