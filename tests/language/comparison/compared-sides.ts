import { type ComparedProtocol, compareSites, Site } from "@limbwright/language";
import { exampleTexts } from "../rule-file/example-site.ts";

export const WRIST = "protocols/wrist-reduction.limb";

/** The example hospital with the words of one file replaced; throws where they are not there. */
export function replacing(
  file: string,
  changes: readonly (readonly [string, string])[],
): Map<string, string> {
  const texts = exampleTexts();
  let text = texts.get(file) ?? "";
  for (const [from, to] of changes) {
    if (!text.includes(from)) throw new Error(`${file} has no "${from}"`);
    text = text.replace(from, to);
  }
  return texts.set(file, text);
}

/** One file of the example hospital compared with what it is in other texts. */
export function comparedSides(file: string, now: ReadonlyMap<string, string>): ComparedProtocol {
  const before = exampleTexts();
  const side = (texts: ReadonlyMap<string, string>, name: string) => ({
    site: new Site((one) => texts.get(one)),
    files: [file],
    name,
  });
  const [first] = [...compareSites(side(before, "HEAD"), side(now, "the folder `.`"), { on: "2026-11-25" })];
  if (!first) throw new Error(`${file} has no protocol`);
  return first;
}
