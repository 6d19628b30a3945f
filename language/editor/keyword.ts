import { KEYWORDS } from "../grammar/generated/keywords.ts";

/** Whether a word belongs to the language, so that nothing can be named by it. */
export function isKeyword(word: string): boolean {
  return KEYWORDS.has(word);
}
