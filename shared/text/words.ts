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
