import { findUsedFileAt, namesIn } from "@limbwright/language/editor";
import type { Location } from "vscode-languageserver";
import { locationOf, nameAt } from "../names/names-in-folder.ts";
import { atPlace, type Feature } from "../service.ts";

/** Leads from a name to where it is declared, and from a `use` to its file. */
export const definition: Feature = {
  offers: () => ({ definitionProvider: true }),
  register: (service) => {
    service.connection.onDefinition((params) =>
      atPlace(service, params, ({ folder, file, site, offset }): Location | null => {
        const used = findUsedFileAt(site, file, offset);
        if (used !== undefined) return { uri: folder.uriOf(used), range: START };
        const name = nameAt(folder, file, offset);
        if (!name) return null;
        const [home = file] = name.key.split("#");
        const declared = namesIn(site, home)?.uses.find((use) => use.isDeclaration && use.key === name.key);
        return declared ? locationOf(folder, declared) : null;
      }),
    );
  },
};

const START = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
