/** What is wrong with a name for a protocol; undefined where nothing is. */
export function faultInName(written: string): string | undefined {
  if (/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/.test(written)) return undefined;
  return "Write it in lower case, with hyphens between words, such as wrist-reduction.";
}

/** "wrist-reduction" is "Wrist reduction". */
export function titleOf(name: string): string {
  return `${name.charAt(0).toUpperCase()}${name.slice(1).replaceAll("-", " ")}`;
}
