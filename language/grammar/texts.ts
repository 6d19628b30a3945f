/** The text between the quotes of a quoted token, straight or curly, closed or not. */
export function removeQuotes(token: string): string {
  return token
    .replace(/^["\u201c\u201d\u201e]/, "")
    .replace(/(?<!\\)["\u201c\u201d]$/, "")
    .replace(/\\(.)/g, "$1")
    .trimEnd();
}

export function isCurlyQuoted(token: string): boolean {
  return /^[\u201c\u201d\u201e]/.test(token);
}

/** Whether the closing quote is missing. */
export function isUnclosed(token: string): boolean {
  return token.length < 2 || !/(?<!\\)["\u201c\u201d]$/.test(token);
}
