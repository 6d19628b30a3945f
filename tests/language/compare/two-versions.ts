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

/** The site of the example hospital with some texts replaced. */
export function siteWith(texts: Texts): Site {
  return new Site((file) => texts[file] ?? readOrNothing(file));
}

function readOrNothing(file: string): string | undefined {
  try {
    return exampleText(file);
  } catch {
    return undefined;
  }
}

/** The comparison of one file between two versions of the example hospital. */
export function comparedFile(file: string, before: Texts, now: Texts): ProtocolComparison {
  const side = (texts: Texts, name: string) => ({ site: siteWith(texts), files: [file], name });
  const [first] = [...compareSites(side(before, "before"), side(now, "now"), { on: ON })];
  if (!first) throw new Error(`${file} has no protocol`);
  return first.comparison;
}

export const WRIST = "protocols/wrist-reduction.limb";

/** The comparison of a protocol with one in which a piece of its text is another. */
export function edited(from: string, to: string, file = WRIST, text = exampleText(file)): ProtocolComparison {
  if (!text.includes(from)) throw new Error(`${file} has no ${from}`);
  return comparedFile(file, { [file]: text }, { [file]: text.replace(from, to) });
}

/** A change in one line: "looser dose: The amount of …". */
export function line({ kind, part, what }: Change): string {
  return `${kind} ${part}: ${what}`;
}

export function lines({ changes }: ProtocolComparison): string[] {
  return changes.map(line);
}
