import { findUsedFileAt, findUsedFiles, type NameUse, namesIn } from "@limbwright/language/editor";
import {
  type CallHierarchyItem,
  DocumentHighlightKind,
  type Location,
  LSPErrorCodes,
  ResponseError,
  SymbolKind,
  type TextEdit,
} from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import {
  declarationOf,
  declarationsLike,
  filesOf,
  nameAt,
  relativePath,
  usesOf,
} from "../names/names-in-folder.ts";
import { planRenaming } from "../names/renaming.ts";
import { locationOf, rangeOf, SYMBOL_KINDS, textEditsOf } from "../places.ts";
import { atPlace, findText, type Service } from "../service.ts";

/** Answers what stands behind a name: where it is declared, where it is used, and who calls it. */
export function answerAboutNames(service: Service): void {
  const { connection, folders } = service;
  // From a name to where it is declared, and from a `use` to its file.
  connection.onDefinition(
    atPlace(service, (asked): Location | null => {
      const used = findUsedFileAt(asked.site, asked.file, asked.offset);
      if (used !== undefined) return { uri: asked.folder.uriOf(used), range: START };
      const name = nameAt(asked);
      const declared = name && declarationOf(asked.folder, name.key);
      return declared ? locationOf(asked.folder, declared) : null;
    }),
  );
  // Every place of the workspace where the same thing is named, in either spelling.
  connection.onReferences(
    atPlace(service, (asked, { context }) => {
      const name = nameAt(asked);
      const { includeDeclaration = true } = context ?? {};
      return (name ? usesOf(asked.folder, name) : [])
        .filter(({ isDeclaration }) => includeDeclaration || !isDeclaration)
        .map((use) => locationOf(asked.folder, use));
    }),
  );
  // The other places of the file where the thing under the cursor is named.
  connection.onDocumentHighlight(
    atPlace(service, (asked) => {
      const name = nameAt(asked);
      const uses =
        (name && namesIn(asked.site, asked.file)?.uses.filter(({ key }) => key === name.key)) ?? [];
      return uses.map(({ origin, isDeclaration }) => ({
        range: rangeOf(origin),
        kind: isDeclaration ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
      }));
    }),
  );
  // Anything that is declared in the workspace, by some letters of its name.
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
  answerCalls(service);
  rename(service);
}

const START = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };

/** Gives a thing, or a file, another name everywhere in the workspace, or refuses with the reason. */
function rename(service: Service): void {
  const { connection, folders } = service;
  connection.onPrepareRename(
    atPlace(service, (asked) => {
      const name = nameAt(asked);
      return name && usesOf(asked.folder, name).some(({ isDeclaration }) => isDeclaration)
        ? { range: rangeOf(name.origin), placeholder: name.name }
        : null;
    }),
  );
  connection.onRenameRequest(
    atPlace(service, (asked, { newName }) => {
      const name = nameAt(asked);
      if (!name) throw refusal("No name that is declared in this workspace stands here.");
      const uses = planRenaming(asked.folder, name, newName);
      if (typeof uses === "string") throw refusal(uses);
      const changes = uses.map(({ origin }) => ({ origin, text: newName }));
      return { changes: textEditsOf(asked.folder, changes) };
    }),
  );
  connection.workspace.onWillRenameFiles(({ files }) => {
    const changes = folders.all.map((folder) => {
      const moves = files.flatMap(({ oldUri, newUri }) => {
        const [from, to] = [folder.fileOf(oldUri), folder.fileOf(newUri)];
        return from !== undefined && to !== undefined ? [[from, to] as const] : [];
      });
      return moves.length > 0 ? moveUses(folder, new Map(moves)) : {};
    });
    const all: Record<string, TextEdit[]> = Object.assign({}, ...changes);
    return Object.keys(all).length > 0 ? { changes: all } : null;
  });
}

function refusal(reason: string): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestFailed, reason);
}

/** When a file gets another name or place, every `use` of it follows, and its own lead where they led. */
function moveUses(folder: Folder, moves: ReadonlyMap<string, string>): Record<string, TextEdit[]> {
  const changes = filesOf(folder).flatMap((file) =>
    findUsedFiles(folder.site, file).flatMap(({ used, origin }) => {
      const from = moves.get(file) ?? file;
      const to = moves.get(used) ?? used;
      return from === file && to === used ? [] : [{ origin, text: `"${relativePath(from, to)}"` }];
    }),
  );
  return textEditsOf(folder, changes);
}

/** Which protocols and routines do a routine, and which routines it does in turn. */
function answerCalls(service: Service): void {
  const { callHierarchy } = service.connection.languages;
  callHierarchy.onPrepare(
    atPlace(service, (asked) => {
      const name = nameAt(asked);
      const isCaller = name?.kind === "routine" || name?.kind === "protocol";
      const declared = isCaller ? declarationOf(asked.folder, name.key) : undefined;
      return declared ? [callItem(asked.folder, declared)] : null;
    }),
  );
  callHierarchy.onIncomingCalls(({ item }) => {
    const asked = findText(service, item);
    const key = typeof item.data === "string" ? item.data : "";
    const declared = asked && declarationOf(asked.folder, key);
    if (!asked || !declared) return null;
    const calls = usesOf(asked.folder, declared).filter(({ isDeclaration }) => !isDeclaration);
    return callsBy(asked.folder, calls, ({ within }) => within).map(([from, fromRanges]) => ({
      from,
      fromRanges,
    }));
  });
  callHierarchy.onOutgoingCalls(({ item }) => {
    const asked = findText(service, item);
    if (!asked) return null;
    const inside = namesIn(asked.site, asked.file)?.uses ?? [];
    const calls = inside.filter(
      (use) => use.kind === "routine" && !use.isDeclaration && use.within === item.data,
    );
    return callsBy(asked.folder, calls, ({ key }) => key).map(([to, fromRanges]) => ({ to, fromRanges }));
  });
}

/** Calls by what stands at their other end, each with the places where it is called. */
function callsBy(
  folder: Folder,
  calls: readonly NameUse[],
  otherEnd: (use: NameUse) => string | undefined,
): [CallHierarchyItem, Location["range"][]][] {
  const ends = new Map<string, NameUse[]>();
  for (const use of calls) {
    const key = otherEnd(use);
    if (key !== undefined) ends.set(key, [...(ends.get(key) ?? []), use]);
  }
  return [...ends].flatMap(([key, uses]): [CallHierarchyItem, Location["range"][]][] => {
    const declared = declarationOf(folder, key);
    return declared ? [[callItem(folder, declared), uses.map(({ origin }) => rangeOf(origin))]] : [];
  });
}

function callItem(folder: Folder, use: NameUse): CallHierarchyItem {
  const { uri, range } = locationOf(folder, use);
  const kind = use.kind === "routine" ? SymbolKind.Function : SymbolKind.Module;
  return { name: use.name, kind, uri, range, selectionRange: range, data: use.key };
}
