import { Site } from "@limbwright/language";
import { isKeyword, type NameUse, namesIn, unreadWords } from "@limbwright/language/editor";
import type { Folder } from "../folders/folder.ts";
import { filesNaming, usesOf } from "./names-in-folder.ts";

const NAME = /^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$/;

/**
 * Works out whether a thing can have another name, by giving it that name in all texts and reading them again: every name
 * must mean what it meant before, and no text may be understood less. Gives the places to change, or why it cannot be.
 */
export function planRenaming(folder: Folder, target: NameUse, newName: string): readonly NameUse[] | string {
  const wrong = whatIsWrong(newName);
  if (wrong) return wrong;
  const hidden = filesNaming(folder, target.name).find((file) =>
    unreadWords(folder.site, file).has(target.name),
  );
  if (hidden !== undefined) {
    return `\`${target.name}\` also stands in text of ${hidden} that is not understood. Mend the errors there first.`;
  }
  const uses = usesOf(folder, target);
  return namesChanged(folder, uses, target, newName) ?? uses;
}

function whatIsWrong(newName: string): string | undefined {
  if (!NAME.test(newName)) {
    return `\`${newName}\` cannot be a name: write lower-case letters and digits, joined by hyphens.`;
  }
  return isKeyword(newName) ? `\`${newName}\` is a word of the language, so it cannot be a name.` : undefined;
}

function namesChanged(
  folder: Folder,
  uses: readonly NameUse[],
  target: NameUse,
  newName: string,
): string | undefined {
  const texts = new Map<string, string>();
  for (const file of new Set(uses.map(({ origin }) => origin.file))) {
    texts.set(
      file,
      withNewName(
        folder.textOf(file) ?? "",
        uses.filter(({ origin }) => origin.file === file),
        newName,
      ),
    );
  }
  const site = new Site((file) => texts.get(file) ?? folder.textOf(file));
  const newKey = target.key.replace(/[^:#]+$/, newName);
  const keyNow = (key: string) =>
    key === target.key || key.startsWith(`${target.key}#`) ? newKey + key.slice(target.key.length) : key;
  for (const file of new Set([...filesNaming(folder, target.name), ...filesNaming(folder, newName)])) {
    const before = namesIn(folder.site, file);
    const after = namesIn(site, file);
    const same =
      before?.uses.length === after?.uses.length &&
      before?.unknown.length === after?.unknown.length &&
      before?.uses.every((use, index) => keyNow(use.key) === after?.uses[index]?.key);
    if (!same) return `\`${newName}\` already means something else in ${file}.`;
    const known = problemsIn(folder.site, file);
    const now = problemsIn(site, file);
    if (now.length > known.length) {
      const added = now.find((what) => !known.includes(what) && what.includes(`\`${newName}\``));
      return `With this name ${file} would have an error${added ? `: ${added}` : " that it does not have now."}`;
    }
  }
  return undefined;
}

function problemsIn(site: Site, file: string): string[] {
  return (site.file(file)?.problems ?? []).map(({ what }) => what);
}

function withNewName(text: string, uses: readonly NameUse[], newName: string): string {
  return uses
    .toSorted((a, b) => b.origin.start.offset - a.origin.start.offset)
    .reduce(
      (so, { origin: { start, end } }) => so.slice(0, start.offset) + newName + so.slice(end.offset),
      text,
    );
}
