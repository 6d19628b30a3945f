import { locationOf, nameAt, usesOf } from "../names/names-in-folder.ts";
import { atPlace, type Feature } from "../service.ts";

/** Every place of the workspace where the same thing is named, in either spelling. */
export const references: Feature = {
  offers: () => ({ referencesProvider: true }),
  register: (service) => {
    service.connection.onReferences((params) =>
      atPlace(service, params, ({ folder, file, offset }) => {
        const name = nameAt(folder, file, offset);
        const uses = name ? usesOf(folder, name) : [];
        const { includeDeclaration = true } = params.context ?? {};
        return uses
          .filter(({ isDeclaration }) => includeDeclaration || !isDeclaration)
          .map((use) => locationOf(folder, use));
      }),
    );
  },
};
