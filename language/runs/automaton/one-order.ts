/**
 * What an author may declare in any order, in an order that does not depend on it, nor on where it is
 * written.
 */
export function inOneOrder<T>(parts: readonly T[]): readonly T[] {
  if (parts.length < 2) return parts;
  return parts
    .map((part) => ({ part, key: meaningOf(part) }))
    .sort((a, b) => Number(a.key > b.key) - Number(a.key < b.key))
    .map(({ part }) => part);
}

/** A value as a text: without places in the source, and with the members of an object in one order. */
function meaningOf(value: unknown): string {
  if (typeof value === "string") return JSON.stringify(value);
  if (typeof value !== "object" || value === null) return String(value);
  if (Array.isArray(value)) return `[${value.map(meaningOf)}]`;
  const members = value as Readonly<Record<string, unknown>>;
  const names = Object.keys(members).filter((name) => isMeaning(name) && members[name] !== undefined);
  return `{${names.sort().map((name) => `${name}: ${meaningOf(members[name])}`)}}`;
}

function isMeaning(name: string): boolean {
  return name !== "origin" && !name.endsWith("Origin");
}
