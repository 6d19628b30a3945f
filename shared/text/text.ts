/** The sentence that every output for people carries. */
export const CAUTION =
  "Limbwright helps to draft and to audit a document. It is not a medical device and judges no patient: " +
  "local policy and licensed practice decide.";

/** The same text with its first letter in upper case. */
export function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

/** "a, b and c", or with another sign between all but the last two. */
export function listText(words: readonly string[], comma = ", "): string {
  const last = words.at(-1) ?? "";
  const before = words.slice(0, -1).join(comma);
  return before ? `${before} and ${last}` : last;
}

/**
 * A text with every character made visible that would act on a terminal instead of being shown: control
 * characters and those that turn the direction of writing. A protocol from elsewhere may hold any.
 */
export function plainCharacters(text: string): string {
  return text.replace(ACTING, "\ufffd");
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to be replaced.
const ACTING = /[\u0000-\u0008\u000a-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g;

/** A text of the author's as Markdown that shows it letter for letter: nothing in it can become markup, a link or a command. */
export function plainMarkdown(text: string): string {
  return text
    .replace(/[\r\n]+/g, " ")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/[\\`*_{}[\]()#+\-.!|~>:/@]/g, (character) => `\\${character}`);
}

/** The one stretch in which two texts differ, by offsets: what stands before it and behind it is the same in both. */
interface ReplacedStretch {
  readonly start: number;
  readonly endBefore: number;
  readonly endAfter: number;
}

/** What was typed between two texts, taken as one stretch that was replaced by another; empty where they are the same. */
export function findReplacedStretch(before: string, after: string): ReplacedStretch {
  const most = Math.min(before.length, after.length);
  let start = 0;
  while (start < most && before[start] === after[start]) start++;
  let end = 0;
  while (end < most - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  return { start, endBefore: before.length - end, endAfter: after.length - end };
}
