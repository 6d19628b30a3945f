import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { type Change, compareSites, type ProtocolComparison, Site } from "@limbwright/language";

const FOLDER = new URL("../../../examples/tarn-hollow/", import.meta.url);

/** The text of a file of the example hospital. */
export function exampleText(file: string): string {
  return readFileSync(fileURLToPath(new URL(file, FOLDER)), "utf8");
}

/** Texts that stand in place of those of the example hospital, by file. */
export type Texts = Readonly<Record<string, string>>;

export const ON = "2026-11-27";

/** Making a parser takes longer than a comparison: one for each side reads all texts, and forgets those that change. */
class Side {
  #texts: Texts = {};
  readonly site = new Site((file) => this.#texts[file] ?? readOrNothing(file));

  with(texts: Texts): Site {
    for (const file of new Set([...Object.keys(this.#texts), ...Object.keys(texts)])) {
      if (this.#texts[file] !== texts[file]) this.site.noteChange(file);
    }
    this.#texts = texts;
    return this.site;
  }
}

/** A site of the example hospital with some texts replaced. */
export function siteOf(texts: Texts): Site {
  return new Side().with(texts);
}

const SIDES = { before: new Side(), now: new Side() };

/** The same, until it is asked for with other texts: what they do not touch is read once. */
export function siteWith(texts: Texts): Site {
  return SIDES.now.with(texts);
}

function readOrNothing(file: string): string | undefined {
  try {
    return exampleText(file);
  } catch {
    return undefined;
  }
}

/** The comparisons of some files between two versions of the example hospital, each with its protocol. */
export function comparedFiles(files: readonly string[], before: Texts, now: Texts): ProtocolComparison[] {
  const side = (name: "before" | "now", texts: Texts) => ({ site: SIDES[name].with(texts), files, name });
  const compared = compareSites(side("before", before), side("now", now), { on: ON });
  return [...compared].map(({ comparison }) => comparison);
}

/** The comparison of the one protocol of a file. */
export function comparedFile(file: string, before: Texts, now: Texts): ProtocolComparison {
  const [first] = comparedFiles([file], before, now);
  if (!first) throw new Error(`${file} has no protocol`);
  return first;
}

export const WRIST = "protocols/wrist-reduction.limb";

/** The comparison of a protocol with one in which a piece of its text is another. */
export function edited(from: string, to: string): ProtocolComparison {
  const text = exampleText(WRIST);
  if (!text.includes(from)) throw new Error(`${WRIST} has no ${from}`);
  const key = `${from} ${to}`;
  const known = EDITED.get(key) ?? comparedFile(WRIST, {}, { [WRIST]: text.replace(from, to) });
  EDITED.set(key, known);
  return known;
}

const EDITED = new Map<string, ProtocolComparison>();

/** A change in one line: "looser dose: The amount of …". */
export function line({ kind, part, what }: Change): string {
  return `${kind} ${part}: ${what}`;
}

export function lines({ changes }: ProtocolComparison): string[] {
  return changes.map(line);
}
