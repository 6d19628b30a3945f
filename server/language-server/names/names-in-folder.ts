import { canonicalName, type NameUse, namesIn } from "@limbwright/language/editor";
import type { FileInFolder, Folder } from "../folders/folder.ts";

/** What is named at an offset of a file; undefined where no name stands there, or one that means nothing known. */
export function nameAt({
  folder,
  file,
  offset,
}: FileInFolder & { readonly offset: number }): NameUse | undefined {
  const names = namesIn(folder.site, file);
  const touches = ({ origin: { start, end } }: Pick<NameUse, "origin">) =>
    start.offset <= offset && offset <= end.offset;
  const use = names?.uses.find(touches);
  if (use) return use;
  const unknown = names?.unknown.find(touches);
  if (!unknown?.isProtocol) return undefined;
  const declared = declarationsIn(folder, filesNaming(folder, unknown.name)).find(
    ({ kind, name }) => kind === "protocol" && canonicalName(name) === canonicalName(unknown.name),
  );
  return declared && { ...declared, name: unknown.name, isDeclaration: false, origin: unknown.origin };
}

/** Every place of a folder where the same thing is named: its declaration first. */
export function usesOf(folder: Folder, { key, name, kind }: NameUse): NameUse[] {
  const uses = filesNaming(folder, name).flatMap((file) => {
    const names = namesIn(folder.site, file);
    const known = names?.uses.filter((use) => use.key === key) ?? [];
    const byName = kind === "protocol" ? (names?.unknown ?? []) : [];
    const elsewhere = byName
      .filter((one) => one.isProtocol && canonicalName(one.name) === canonicalName(name))
      .map(
        ({ name: written, origin }): NameUse => ({ name: written, kind, key, isDeclaration: false, origin }),
      );
    letGo(folder, file);
    return [...known, ...elsewhere];
  });
  return uses.sort((a, b) => Number(b.isDeclaration) - Number(a.isDeclaration));
}

/** Every declaration of a folder whose name holds these letters in this order. */
export function declarationsLike(folder: Folder, query: string): NameUse[] {
  const letters = query.toLowerCase();
  return declarationsIn(folder, filesOf(folder)).filter(({ name }) =>
    holdsInOrder(name.toLowerCase(), letters),
  );
}

function declarationsIn(folder: Folder, files: readonly string[]): NameUse[] {
  return files.flatMap((file) => {
    const uses = namesIn(folder.site, file)?.uses ?? [];
    letGo(folder, file);
    return uses.filter(({ isDeclaration }) => isDeclaration);
  });
}

/** Where the thing of a key is declared. */
export function declarationOf({ site }: Folder, key: string): NameUse | undefined {
  const [file = ""] = key.split("#");
  return namesIn(site, file)?.uses.find((use) => use.isDeclaration && use.key === key);
}

/** All files that are known, those that are open first. */
export function filesOf(folder: Folder): string[] {
  const used = folder.openFiles.flatMap((file) => folder.site.file(file)?.uses ?? []);
  return [...new Set([...folder.openFiles, ...used, ...folder.listed])];
}

/** The files in whose text a name stands, in either spelling: only these need to be read. */
export function filesNaming(folder: Folder, name: string): string[] {
  const wanted = canonicalName(name);
  return filesOf(folder).filter((file) => {
    const words = folder.textOf(file)?.match(/[A-Za-z_][\w-]*/g) ?? [];
    return words.some((word) => word === name || canonicalName(word) === wanted);
  });
}

/** What is not open is read again when it is needed, so that a large workspace does not fill the memory. */
function letGo(folder: Folder, file: string): void {
  if (!folder.openDocument(file)) folder.site.forget(file);
}

function holdsInOrder(name: string, letters: string): boolean {
  let at = 0;
  for (const letter of letters) {
    at = name.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}

/** The way from one file to another, with / between folders. */
export function relativePath(from: string, to: string): string {
  const start = from.split("/").slice(0, -1);
  const end = to.split("/");
  let common = 0;
  while (common < start.length && common < end.length - 1 && start[common] === end[common]) common++;
  return [...start.slice(common).map(() => ".."), ...end.slice(common)].join("/");
}
