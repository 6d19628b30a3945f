import { LSPErrorCodes, ResponseError, type TextEdit, type WorkspaceEdit } from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import { nameAt, usesOf } from "../names/names-in-folder.ts";
import { planRenaming } from "../names/renaming.ts";
import { rangeOf } from "../places.ts";
import { atPlace, type Feature } from "../service.ts";

/** Gives a thing another name everywhere in the workspace, or refuses with the reason. */
export const rename: Feature = {
  offers: ({ textDocument }) => ({
    renameProvider: textDocument?.rename?.prepareSupport ? { prepareProvider: true } : true,
  }),
  register: (service) => {
    service.connection.onPrepareRename((params) =>
      atPlace(service, params, ({ folder, file, offset }) => {
        const name = nameAt(folder, file, offset);
        return name && usesOf(folder, name).some(({ isDeclaration }) => isDeclaration)
          ? { range: rangeOf(name.origin), placeholder: name.name }
          : null;
      }),
    );
    service.connection.onRenameRequest((params) =>
      atPlace(service, params, ({ folder, file, offset }) => {
        const name = nameAt(folder, file, offset);
        if (!name) throw refusal("No name that is declared in this workspace stands here.");
        const result = planRenaming(folder, name, params.newName);
        if (result.kind === "refused") throw refusal(result.reason);
        return editOf(folder, result.uses, params.newName);
      }),
    );
  },
};

function refusal(reason: string): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestFailed, reason);
}

function editOf(
  folder: Folder,
  uses: Extract<ReturnType<typeof planRenaming>, { kind: "renamed" }>["uses"],
  newName: string,
): WorkspaceEdit {
  const changes: Record<string, TextEdit[]> = {};
  for (const { origin } of uses) {
    const uri = folder.uriOf(origin.file);
    changes[uri] = [...(changes[uri] ?? []), { range: rangeOf(origin), newText: newName }];
  }
  return { changes };
}
