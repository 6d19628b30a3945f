/** What is wrong with the text of a rule file. */
export interface RuleFileFault {
  /** JSON Pointer of the place; empty for the file as a whole. */
  readonly where: string;
  /** What is wrong, a sentence. */
  readonly what: string;
  /** Why such a file is refused, a sentence. */
  readonly why: string;
}

/** One more step of a JSON Pointer. */
export function pointer(parent: string, key: string | number): string {
  return `${parent}/${String(key).replaceAll("~", "~0").replaceAll("/", "~1")}`;
}

/** The value a JSON Pointer leads to; undefined when it leads nowhere. */
export function valueAt(root: unknown, path: string): unknown {
  let value = root;
  for (const part of path.split("/").slice(1)) {
    const key = part.replaceAll("~1", "/").replaceAll("~0", "~");
    if (typeof value !== "object" || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<string, unknown>)[key];
  }
  return value;
}
