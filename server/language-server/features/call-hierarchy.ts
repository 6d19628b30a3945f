import { type NameUse, namesIn } from "@limbwright/language/editor";
import { type CallHierarchyItem, SymbolKind } from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import { nameAt, usesOf } from "../names/names-in-folder.ts";
import { rangeOf } from "../places.ts";
import { atPlace, type Feature, findText } from "../service.ts";

/** Which protocols and routines do a routine, and which routines it does in turn. */
export const callHierarchy: Feature = {
  offers: () => ({ callHierarchyProvider: true }),
  register: (service) => {
    const { languages } = service.connection;
    languages.callHierarchy.onPrepare((params) =>
      atPlace(service, params, ({ folder, file, offset }) => {
        const name = nameAt(folder, file, offset);
        const declared = name && isCaller(name) ? declarationOf(folder, name.key) : undefined;
        return declared ? [itemOf(folder, declared)] : null;
      }),
    );
    languages.callHierarchy.onIncomingCalls(({ item }) => {
      const asked = findText(service, item);
      const key = typeof item.data === "string" ? item.data : "";
      const declared = asked && declarationOf(asked.folder, key);
      if (!asked || !declared) return null;
      const calls = usesOf(asked.folder, declared).filter(({ isDeclaration }) => !isDeclaration);
      return groupBy(calls, ({ within }) => within).flatMap(([caller, uses]) => {
        const from = declarationOf(asked.folder, caller);
        return from
          ? [{ from: itemOf(asked.folder, from), fromRanges: uses.map(({ origin }) => rangeOf(origin)) }]
          : [];
      });
    });
    languages.callHierarchy.onOutgoingCalls(({ item }) => {
      const asked = findText(service, item);
      if (!asked) return null;
      const inside = namesIn(asked.site, asked.file)?.uses ?? [];
      const calls = inside.filter(
        (use) => use.kind === "routine" && !use.isDeclaration && use.within === item.data,
      );
      return groupBy(calls, ({ key }) => key).flatMap(([called, uses]) => {
        const to = declarationOf(asked.folder, called);
        return to
          ? [{ to: itemOf(asked.folder, to), fromRanges: uses.map(({ origin }) => rangeOf(origin)) }]
          : [];
      });
    });
  },
};

function isCaller({ kind }: NameUse): boolean {
  return kind === "routine" || kind === "protocol";
}

function declarationOf(folder: Folder, key: string): NameUse | undefined {
  const [file = ""] = key.split("#");
  return namesIn(folder.site, file)?.uses.find((use) => use.isDeclaration && use.key === key);
}

function itemOf(folder: Folder, { name, kind, key, origin }: NameUse): CallHierarchyItem {
  const range = rangeOf(origin);
  return {
    name,
    kind: kind === "routine" ? SymbolKind.Function : SymbolKind.Module,
    uri: folder.uriOf(origin.file),
    range,
    selectionRange: range,
    data: key,
  };
}

function groupBy(uses: readonly NameUse[], by: (use: NameUse) => string | undefined): [string, NameUse[]][] {
  const groups = new Map<string, NameUse[]>();
  for (const use of uses) {
    const key = by(use);
    if (key !== undefined) groups.set(key, [...(groups.get(key) ?? []), use]);
  }
  return [...groups];
}
